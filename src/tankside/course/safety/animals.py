"""What each kind of animal and plant in the water bears of each agent, and who is not known."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims import Agent, Claim, Host, Knowledge
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import SALT
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.system import BodyKind
from tankside.course.bodies.tank_hours import Channel
from tankside.course.safety.scene import CourseScene

AVOID, CARE, TOLERANT, NOT_KNOWN = "avoid", "care", "tolerant", "not_known"
NO_SPECIES = "species not known"
UNKNOWN = "No figure was found; not known does not mean safe."
WORST_FIRST = (AVOID, NOT_KNOWN, CARE, TOLERANT)
HURT = ("lost", "harmed")
SPARED = "spared"


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield cautions on species (E-DOSE-26), unknown stock (-20), invertebrates and plants."""
    yield from _nobody(scene)
    for body, agent in scene.treated():
        groups = scene.groups_with(body, agent)
        yield from _species(scene, body, agent, groups)
        yield from _general(scene, body, agent, groups, "invertebrates")
        yield from _general(scene, body, agent, groups, "plants")
    for event, group in scene.handed():
        if event.channel is Channel.BATH:
            yield from _species(scene, event.body, event.agent, [group])


def _nobody(scene: CourseScene) -> Iterator[Caution]:
    """Block doses of a tank with fish whose stock nobody has entered."""
    for body, agent in scene.treated():
        kind = scene.bodies[body].system.kind
        fish_expected = kind in (BodyKind.MAIN, BodyKind.HOSPITAL)
        somebody = any(bool(scene.in_body(g.id, body).any()) for g in scene.stock)
        if fish_expected and not somebody and scene.doses(body, agent):
            yield Caution(
                Level.BLOCKED,
                "E-DOSE-20",
                f"No animals are entered for {scene.bodies[body].system.name}.",
                "What lives in it decides what may be given.",
                "",
                "Enter the animals, or say that the tank is fishless.",
                body=body,
                agent=agent,
            )


def _species(
    scene: CourseScene, body: str, agent: str, groups: list[StockGroup]
) -> Iterator[Caution]:
    record = scene.agent(agent)
    if record is not None and _spares_hosts(record):
        return
    classes = () if record is None else host_classes(scene.facts, record)
    sorted_groups: dict[str, list[StockGroup]] = {}
    for group in groups:
        host = scene.host(group)
        verdict = NO_SPECIES if host is None else _tolerance(host, classes)
        sorted_groups.setdefault(verdict, []).append(group)
    name = scene.agent_name(agent)
    for verdict, alike in sorted_groups.items():
        names = ", ".join(group.name for group in alike)
        if verdict == AVOID:
            yield from _avoid(scene, body, agent, classes, alike)
        elif verdict == CARE:
            why = _why(scene, classes, alike)
            yield _care(body, agent, classes, alike, f"{name}: care with {names}.", why)
        elif verdict == NOT_KNOWN:
            why = UNKNOWN
            yield _care(body, agent, classes, alike, f"{name}: not known for {names}.", why)
        elif verdict == NO_SPECIES:
            yield _unknown_species(agent, name, body, names)


def _spares_hosts(agent: Agent) -> bool:
    """Whether the agent's own file says that it harms no animal it could be given to."""
    claim = agent.find("effect.hosts")
    return claim is not None and str(claim.value) == SPARED


def host_classes(facts: Knowledge, agent: Agent) -> tuple[str, ...]:
    """Return the classes a host is judged by: the agent's own and those of each active in it."""
    classes = {agent.host_class: None} if agent.host_class else {}
    if len(agent.actives) > 1:
        for other in facts.agents.values():
            alone = len(other.actives) == 1 and other.actives[0] in agent.actives
            if alone and other.host_class:
                classes[other.host_class] = None
    return tuple(classes)


def _tolerance(host: Host, classes: tuple[str, ...]) -> str:
    """Return the worst verdict over the classes; not known where there is none."""
    verdicts = [host.tolerance(name) for name in classes] or [NOT_KNOWN]
    return min(verdicts, key=WORST_FIRST.index)


def _avoid(
    scene: CourseScene, body: str, agent: str, classes: tuple[str, ...], groups: list[StockGroup]
) -> Iterator[Caution]:
    for group in groups:
        host = scene.host(group)
        worst = [name for name in classes if host is not None and host.tolerance(name) == AVOID]
        yield Caution(
            Level.BLOCKED,
            "E-DOSE-26",
            f"{scene.agent_name(agent)} is not for {group.name}.",
            _why(scene, tuple(worst), [group]),
            f"host.{group.host_id}.tolerance.{worst[0]}",
            f"Move {group.name} out first, or choose another way.",
            body=body,
            group=group.id,
            agent=agent,
        )


def _care(
    body: str, agent: str, classes: tuple[str, ...], groups: list[StockGroup], words: str, why: str
) -> Caution:
    return Caution(
        Level.CARE,
        "E-DOSE-26",
        words,
        why,
        f"host.{groups[0].host_id}.tolerance.{classes[0]}" if classes else "",
        "Try it on two animals first, start low, watch them, or choose another way.",
        body=body,
        group=groups[0].id if len(groups) == 1 else "",
        agent=agent,
    )


def _why(scene: CourseScene, classes: tuple[str, ...], groups: list[StockGroup]) -> str:
    """Say for each group what is printed of each class."""
    hosts = [(group, host) for group in groups if (host := scene.host(group)) is not None]
    said = [
        f"{group.name}: {_printed(claim)}"
        for group, host in hosts
        for name in classes
        if (claim := host.find(f"tolerance.{name}")) is not None
    ]
    return "; ".join(said) + "."


def _printed(claim: Claim) -> str:
    words = claim.conditions.get("as_printed", str(claim.value))
    return f"{words} ({claim.source})" if claim.source else words


def _unknown_species(agent: str, name: str, body: str, names: str) -> Caution:
    salt = agent == SALT
    return Caution(
        Level.CARE if salt else Level.BLOCKED,
        "E-DOSE-20",
        f"Species not known: {names}. {name} needs it.",
        "What an unknown species tolerates is not known.",
        "",
        "Name the species, or a near relative, before dosing.",
        body=body,
        agent=agent,
    )


def _general(
    scene: CourseScene, body: str, agent: str, groups: list[StockGroup], what: str
) -> Iterator[Caution]:
    """Judge invertebrates and plants that are told of only in general."""
    system = scene.bodies[body].system
    here = getattr(system, what)
    if here is False or not scene.doses(body, agent):
        return
    if any(_is(scene, group, what) for group in groups):
        return
    claim = scene.facts.find(f"agent.{agent}.effect.{what}")
    effect = None if claim is None else str(claim.value)
    if effect == SPARED:
        return
    name = scene.agent_name(agent)
    key = f"agent.{agent}.effect.{what}"
    if here and effect in HURT and what == "invertebrates":
        yield Caution(
            Level.BLOCKED, "E-DOSE-26", f"{name} kills shrimps, snails and other invertebrates.",
            claim.note if claim and claim.note else "Stated in the file of the agent.", key,
            "Move the fish out and treat them there.", body=body, agent=agent,
        )  # fmt: skip
    elif here:
        yield Caution(
            Level.CARE, "E-DOSE-26", f"{name} may hurt the {what}.",
            claim.note if claim and claim.note else UNKNOWN,
            key, f"Take the {what} out, or treat the fish elsewhere.", body=body, agent=agent,
        )  # fmt: skip
    elif effect in HURT:
        yield Caution(
            Level.CARE, "E-DOSE-20", f"Are there {what} in {system.name}? {name} hurts them.",
            "Not asked, or the keeper does not know.", key, f"Ask; take the {what} out first.",
            body=body, agent=agent,
        )  # fmt: skip


INVERTEBRATES = ("shrimp", "snail", "crab", "coral", "anemone", "invertebrate", "clam", "urchin")


def _is(scene: CourseScene, group: StockGroup, what: str) -> bool:
    host = scene.host(group)
    if host is None:
        return False
    if what == "plants":
        return "plant" in host.group
    return any(word in host.group for word in INVERTEBRATES)
