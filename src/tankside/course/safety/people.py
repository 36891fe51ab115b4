"""People, food and law: what must be known before an agent is handed to somebody."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims import Knowledge
from tankside.course.caution import Caution, Level
from tankside.course.scene import Scene

FIELDS = ("ppe", "splash", "do_not_mix", "storage", "disposal")
LOW_HAZARD = "low"
NO = "no"


def people_lines(facts: Knowledge, agent: str) -> tuple[str, ...]:
    """Return what to print beside an amount for the person who handles it."""
    claims = [facts.find(f"agent.{agent}.people.{field}") for field in FIELDS]
    return tuple(str(claim.value) for claim in claims if claim is not None)


def missing_fields(facts: Knowledge, agent: str) -> tuple[str, ...]:
    """Return the people fields that are empty; none are needed when the hazard is low."""
    hazard = facts.find(f"agent.{agent}.people.hazard")
    if hazard is not None and hazard.value == LOW_HAZARD:
        return ()
    empty = [f for f in FIELDS if facts.find(f"agent.{agent}.people.{f}") is None]
    return (*(() if hazard is not None else ("hazard",)), *empty)


def check(scene: Scene) -> Iterator[Caution]:
    """Yield S-PEOPLE (fields missing), S-FOOD (may be eaten) and S-DRAIN (treated water)."""
    agents = dict.fromkeys(agent for body, agent in scene.treated() if scene.doses(body, agent))
    agents |= dict.fromkeys(e.agent for e in scene.schedule.events if e.agent)
    for agent in agents:
        missing = missing_fields(scene.facts, agent)
        if missing:
            yield Caution(
                Level.BLOCKED,
                "S-PEOPLE",
                f"{scene.agent_name(agent)} cannot be chosen: safety fields are missing.",
                f"Missing: {', '.join(missing)}.",
                f"agent.{agent}.people.{missing[0]}",
                "Choose another agent, or add the fields with their source.",
                agent=agent,
            )
        yield from _food(scene, agent)
        yield from _disposal(scene, agent)


def _food(scene: Scene, agent: str) -> Iterator[Caution]:
    bodies = [body for body, there in scene.treated() if there == agent]
    eaten = any(scene.bodies[body].system.food_fish for body in bodies)
    maybe = [
        group.name
        for body in bodies
        for group in scene.groups_with(body, agent)
        if scene.bodies[body].system.food_fish is None and _may_be_eaten(scene, group.host_id)
    ]
    if not eaten and not maybe:
        return
    claim = scene.facts.find(f"agent.{agent}.withdrawal")
    name = scene.agent_name(agent)
    if claim is None:
        yield Caution(
            Level.BLOCKED if eaten else Level.CARE,
            "S-FOOD",
            f"{name}: waiting time before eating is not known"
            + ("." if eaten else f"; {', '.join(maybe)} may be eaten."),
            "Not known is never none.",
            f"agent.{agent}.withdrawal",
            "Do not treat animals that may be eaten; ask a veterinarian.",
            agent=agent,
        )
    elif eaten:
        yield Caution(
            Level.NOTE,
            "S-FOOD",
            f"{name}: {claim.number():g} days before eating ({claim.conditions.get('place', '')}).",
            "Rules differ by country and change.",
            claim.key,
            "Check the law where you are and the label.",
            agent=agent,
        )


def _may_be_eaten(scene: Scene, host_id: str | None) -> bool:
    if host_id is None:
        return False
    claim = scene.facts.find(f"host.{host_id}.food_fish")
    return claim is not None and str(claim.value) != NO


def _disposal(scene: Scene, agent: str) -> Iterator[Caution]:
    """Say where treated water may go, for agents whose hazard is more than low."""
    hazard = scene.facts.find(f"agent.{agent}.people.hazard")
    claim = scene.facts.find(f"agent.{agent}.people.disposal")
    if claim is None or hazard is None or hazard.value == LOW_HAZARD:
        return
    yield Caution(
        Level.NOTE,
        "S-DRAIN",
        f"Mind where water with {scene.agent_name(agent)} goes.",
        str(claim.value),
        claim.key,
        "Check local discharge rules.",
        agent=agent,
    )
