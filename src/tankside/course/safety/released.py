"""Whether the knowledge that a course rests on is what was released, and what a practice added."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tankside.claims import THIS_PRACTICE, Claim
from tankside.course.amounts.tolerance import host_classes
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.words import show
from tankside.course.safety.scene import CourseScene

RULES = ("practice/", "water/", "hosts/")
"""Folders whose files bear on every agent."""
WORDS = {
    "hard_max": "never above, {}",
    "hard_max_warm": "never above in warm water, {}",
    "hard_max_young": "never above with young fish, {}",
    "soft_max": "above only with a reason, {}",
    "soft_max_small": "above only with a reason with small fish, {}",
    "minutes_max": "at longest, {}",
    "dose": "usual strength, {}",
    "interval": "time between two, {}",
    "tolerance": "{} is borne",
    "most": "at most of {}",
    "most_bath": "at most of {} in a bath",
    "dose_share": "share of the usual dose of {}",
}
"""What a key says, by its first word; the rest of the key stands in the brackets."""
SHOWN_ELSEWHERE = ("law",)


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield S-BASE for every agent whose own file, or the rules for all, were changed by hand."""
    rules = [name for name in scene.facts.altered if name.startswith(RULES)]
    for agent in dict.fromkeys(agent for _, agent in scene.treated()):
        of_agent = [name for name in scene.facts.altered if name == f"agents/{agent}.toml"]
        if of_agent or rules:
            yield Caution(
                Level.CARE,
                "S-BASE",
                f"What is known of {scene.agent_name(agent)} is not as it was released.",
                f"Changed on this machine: {', '.join(sorted(of_agent + rules))}.",
                "",
                "Compare these files with the released ones before you weigh anything.",
                agent=agent,
            )


def check_added(scene: CourseScene) -> Iterator[Caution]:
    """Yield S-PRACTICE for each agent and group of which the practice says something."""
    if not scene.facts.overlay:
        return
    agents = dict.fromkeys(agent for _, agent in scene.treated())
    agents |= dict.fromkeys(event.agent for event, _ in scene.handed())
    for agent in agents:
        claims = _of(scene, f"agent.{agent}.")
        if claims:
            yield _caution(scene, scene.agent_name(agent), claims, agent=agent)
        for group in scene.stock:
            classes = host_classes(scene.facts, scene.facts.agents[agent])
            of_kind = _of(scene, f"host.{group.host_id}.")
            bearing = [claim for claim in of_kind if claim.key.rpartition(".")[2] in classes]
            if bearing:
                yield _caution(scene, group.name, bearing, agent=agent, group=group.id)


def _of(scene: CourseScene, begins: str) -> list[Claim]:
    keys = sorted(key for key in scene.facts.overlay if key.startswith(begins))
    shown = (key for key in keys if key.split(".")[2] not in SHOWN_ELSEWHERE)
    return [claim for key in shown for claim in scene.facts.overlay[key]]


def _caution(
    scene: CourseScene, name: str, claims: Sequence[Claim], *, agent: str, group: str = ""
) -> Caution:
    said = [_words(scene, claim) for claim in claims]
    return Caution(
        Level.NOTE,
        "S-PRACTICE",
        f"{THIS_PRACTICE}, of {name}: {'; '.join(said)}.",
        "It stands in the folder of this practice, beside what was released.",
        claims[0].key,
        "Where it is stricter than what was released, it holds; where it is looser, it does not.",
        agent=agent,
        group=group,
    )


def _words(scene: CourseScene, claim: Claim) -> str:
    """Say one claim and whether it holds, with what was released beside it."""
    first, _, rest = claim.key.split(".", 2)[2].partition(".")
    head = WORDS.get(first, f"{first.replace('_', ' ')} {{}}").format(rest.replace("_", " "))
    standing = scene.facts.facts.get(claim.key, ())
    holds = bool(standing) and standing[0].overlay != ""
    released = next((each for each in standing if not each.overlay), None)
    beside = "" if released is None else f"; released: {_value(released)}"
    return f"{head}: {_value(claim)} ({'holds' if holds else 'only shown'}{beside})"


def _value(claim: Claim) -> str:
    if not claim.known:
        return "not known"
    if isinstance(claim.value, str):
        return claim.value
    low, high = claim.bounds()
    if low == high or claim.low is None:
        return show(high, claim.unit)
    return f"{show(low, '')}-{show(high, claim.unit)}"
