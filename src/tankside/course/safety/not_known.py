"""What is in the water and nobody can say what, or how much: it stops what it may not meet."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims import Agent
from tankside.claims.substance_names import Meaning, resolve
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import SALT, AgentAdded
from tankside.course.bodies.tank_hours import Channel
from tankside.course.bodies.unnamed import as_told, is_unnamed, shown
from tankside.course.safety.scene import CourseScene
from tankside.course.safety.strength import unknown_there
from tankside.course.safety.together import standing_against

NAME_IT = (
    "Say what it is by its active substance, or take it back if it was never put in, or change "
    "all the water first."
)
ASK_AGAIN = (
    "Ask again and enter what was put in by its active substance, or that there is nothing, or "
    "change all the water first."
)
READ_IT = "Read it with a test, or say how much went in, or change all the water first."


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield E-DOSE-20 for something unnamed, and for what is given while an amount is unknown."""
    for body, run in scene.bodies.items():
        yield from (_there(body, lot) for lot in run.agents if is_unnamed(lot))
    for body, agent, route, hours in _put_in(scene):
        run = scene.bodies[body]
        for lot in run.agents:
            there = scene.there(body, lot) if is_unnamed(lot) else run.unknown(lot)
            hour = next((hour for hour in hours if bool(there[hour])), None)
            if hour is None:
                continue
            if is_unnamed(lot):
                yield from _unnamed(scene, body, lot, agent, hour)
            elif lot == agent:
                yield _how_much(scene, body, agent, route, hour)


def _put_in(scene: CourseScene) -> Iterator[tuple[str, str, str, list[int]]]:
    """Yield (body, agent, route, hours) of everything put into a water or a bath of it."""
    for body, run in scene.bodies.items():
        hours: dict[tuple[str, str], list[int]] = {}
        for hour, effect in run.steps.water:
            if isinstance(effect, AgentAdded):
                hours.setdefault((effect.agent, effect.route), []).append(hour)
        for event in scene.schedule.events:
            if event.channel is Channel.BATH and event.agent and event.to_body == body:
                hours.setdefault((event.agent, event.route), []).append(event.hour)
        yield from ((body, agent, route, when) for (agent, route), when in hours.items())


def _how_much(scene: CourseScene, body: str, agent: str, route: str, hour: int) -> Caution:
    return Caution(
        Level.BLOCKED,
        "E-DOSE-20",
        f"How much {scene.agent_name(agent)} is in the water already is not known.",
        "An amount that nobody knows is inside no limit."
        f"{unknown_there(scene, body, agent, route)}",
        "",
        READ_IT,
        hour=hour,
        body=body,
        agent=agent,
    )


def _there(body: str, lot: str) -> Caution:
    return Caution(
        Level.CARE,
        "E-DOSE-20",
        f"{_what(lot)}.",
        "What it does to the animals and the filter, and what must not meet it, is not known.",
        "",
        _next(lot),
        hour=0,
        body=body,
        agent=lot,
    )


def _unnamed(scene: CourseScene, body: str, lot: str, agent: str, hour: int) -> Iterator[Caution]:
    why = _clash(scene, lot, agent)
    if why:
        yield Caution(
            Level.BLOCKED,
            "E-DOSE-20",
            f"{scene.agent_name(agent)} is not given while {_what(lot)}.",
            why,
            "",
            _next(lot),
            hour=hour,
            body=body,
            agent=agent,
        )


def _what(lot: str) -> str:
    return f"{shown(lot)} is in the water" if as_told(lot) else "nobody knows what is in the water"


def _next(lot: str) -> str:
    return NAME_IT if as_told(lot) else ASK_AGAIN


def _clash(scene: CourseScene, lot: str, agent: str) -> str:
    """Say why an agent may not meet something unnamed; "" where nothing stands against it.

    A name that is listed as one of several may be any of these. Anything else may be any agent,
    or hold it: only salt, which a meter reads, is then stopped by what sounds like salt alone.
    """
    substance = resolve(scene.facts, as_told(lot))
    if substance.meaning is not Meaning.SEVERAL and agent != SALT:
        return (
            "It may hold the same active substance, or one that must not meet it; not known does "
            "not mean safe."
        )
    for candidate in substance.agents:
        against = _against(scene, candidate, agent)
        if against:
            return f"It may be {scene.agent_name(candidate.id)}. {against}"
    return ""


def _against(scene: CourseScene, candidate: Agent, agent: str) -> str:
    """Say why an agent on file may not meet another, or come on top of itself."""
    if candidate.id == agent:
        return "Then the amounts add up, and how much is there is not known."
    rule = standing_against(scene, candidate.id, agent)
    return rule.why if rule is not None and rule.level is Level.BLOCKED else ""
