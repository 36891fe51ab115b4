"""People, food and law: what must be known before an agent is handed to somebody."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.course.amounts.choice import standing_against
from tankside.course.amounts.label import ToolUnit
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import AgentAdded
from tankside.course.safety.scene import CourseScene
from tankside.quantity.per import MG_PER_G

NO = "no"
HANDLING_KEY = "practice.course.handling_limit"


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield what forbids choosing an agent, S-HANDLING (a large amount) and S-FOOD."""
    agents = dict.fromkeys(agent for body, agent in scene.treated() if scene.doses(body, agent))
    agents |= dict.fromkeys(e.agent for e in scene.schedule.events if e.agent)
    for agent in agents:
        yield from standing_against(scene.facts, agent, scene.agent_name(agent))
        yield from _handling(scene, agent)
        yield from _food(scene, agent)


def _handling(scene: CourseScene, agent: str) -> Iterator[Caution]:
    """Ask for a trained person where more of a hazardous substance is handled at once."""
    hazard = scene.facts.find(f"agent.{agent}.people.hazard")
    limit = None if hazard is None else scene.facts.find(f"{HANDLING_KEY}.{hazard.value}")
    most_g = max(_handled_g(scene, agent), default=0.0)
    if limit is None or most_g <= limit.number():
        return
    yield Caution(
        Level.CARE,
        "S-HANDLING",
        f"So much {scene.agent_name(agent)} at once needs a trained person.",
        f"{most_g:.3g} g or mL in one step; above {limit.number():g} a trained person handles it "
        f"({limit.source or limit.provenance.value}).",
        limit.key,
        "Two people, one of them trained, weigh and pour it, or treat a smaller water.",
        agent=agent,
    )


def _handled_g(scene: CourseScene, agent: str) -> Iterator[float]:
    """Yield grams (or millilitres) handled in each step: as printed, else as active substance."""
    for amount in scene.schedule.amounts:
        if amount.agent == agent and not amount.stock_solution:
            value = float(amount.value)
            yield value / MG_PER_G if amount.unit == ToolUnit.MILLIGRAM else value
    for _, effect in scene.schedule.effects:
        if isinstance(effect, AgentAdded) and effect.agent == agent:
            yield effect.mg / MG_PER_G


def _food(scene: CourseScene, agent: str) -> Iterator[Caution]:
    treatments = [
        (body, scene.groups_with(body, agent)) for body, a in scene.treated() if a == agent
    ]
    treatments += [(event.body, [group]) for event, group in scene.handed() if event.agent == agent]
    eaten = any(scene.bodies[body].system.food_fish for body, _ in treatments)
    maybe = [
        group.name
        for body, groups in treatments
        for group in groups
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
            "Not known does not mean none.",
            f"agent.{agent}.withdrawal",
            f"Do not treat animals that may be eaten; ask a veterinarian.{_of_what(scene)}",
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


def _of_what(scene: CourseScene) -> str:
    """Ask for the kinds nobody named: what is no animal is not treated, and never eaten as one."""
    unnamed = [group.name for group in scene.stock if group.host_id is None]
    return f" Name the species of {', '.join(unnamed)}: a plant lifts it." if unnamed else ""


def _may_be_eaten(scene: CourseScene, host_id: str | None) -> bool:
    if host_id is None:
        return False
    claim = scene.facts.find(f"host.{host_id}.food_fish")
    return claim is not None and str(claim.value) != NO
