"""What may not be in the same water: the same active twice, forbidden pairs, too close in time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from tankside.claims import Claim, Knowledge
from tankside.course.amounts.active_forms import same_active
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import SALT
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.tank_hours import Channel
from tankside.course.bodies.unnamed import is_unnamed
from tankside.course.safety.scene import CourseScene, Flags, first_hour
from tankside.quantity.per import HOURS_PER_DAY

APART_KEY = "practice.course.days_between_medicines"
BLOCKED = "blocked"


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield E-DOSE-22 (same active), E-DOSE-23 (forbidden pair or too close).

    What could not be named has no pair: it is judged by itself (``not_known``).
    """
    for body, run in scene.bodies.items():
        named = [agent for agent in run.agents if not is_unnamed(agent)]
        for first, second in combinations(named, 2):
            yield from _pair(scene, body, first, second)
    yield from _in_baths(scene)


def _in_baths(scene: CourseScene) -> Iterator[Caution]:
    """Yield what stands between the agent of a bath and what is in the bath's own water."""
    for event in scene.schedule.events:
        if event.channel is not Channel.BATH or not event.agent:
            continue
        for lot in scene.bodies[event.to_body].agents:
            rule = None if is_unnamed(lot) else standing_against(scene, lot, event.agent)
            if lot == event.agent or rule is None:
                continue
            there = _stretched(scene.there(event.to_body, lot), rule.apart_h)
            if bool(there[event.hour]):
                yield _caution(scene, event.to_body, lot, event.agent, event.hour, rule)


def _pair(scene: CourseScene, body: str, first: str, second: str) -> Iterator[Caution]:
    rule = standing_against(scene, first, second)
    if rule is None:
        return
    hour = _meet(scene, body, first, second, rule.apart_h)
    if hour is not None:
        yield _caution(scene, body, first, second, hour, rule)


@dataclass(frozen=True, slots=True)
class Rule:
    """What stands against two agents within some hours of each other."""

    level: Level
    code: str
    why: str
    claim_key: str
    apart_h: int


def standing_against(scene: CourseScene, first: str, second: str) -> Rule | None:
    """Return what stands against two agents in one water; None when nothing does."""
    same = _same_active(scene, first, second)
    if same:
        return Rule(Level.BLOCKED, "E-DOSE-22", f"Both bring {same} into the water.", "", 0)
    claim = forbidden_pair(scene.facts, first, second)
    if claim is not None:
        level = Level.BLOCKED if claim.conditions.get("level") == BLOCKED else Level.CARE
        apart_h = round_up(claim.number())
        return Rule(level, "E-DOSE-23", _reason(claim), claim.key, apart_h)
    days = find_number(scene.facts, APART_KEY)
    if SALT in (first, second) or days is None:
        return None
    apart_h = round_up(days * HOURS_PER_DAY)
    why = f"Practice keeps {apart_h} h between two medicines."
    return Rule(Level.CARE, "E-DOSE-23", why, APART_KEY, apart_h)


def round_up(hours: float) -> int:
    """Return whole hours, never fewer than asked for."""
    return int(np.ceil(hours))


def _same_active(scene: CourseScene, first: str, second: str) -> str:
    agent, partner = scene.agent(first), scene.agent(second)
    if agent is None or partner is None:
        return ""
    return ", ".join(sorted(set(agent.actives) & set(partner.actives)))


def forbidden_pair(facts: Knowledge, first: str, second: str) -> Claim | None:
    """Return the strictest claim against the pair: a blocking one first, then the longest.

    What is printed of one form of an active holds for its other forms and for a mixture of it.
    """
    forms_of_first, forms_of_second = (
        [agent, *(other.agent.id for other in same_active(facts, agent))]
        for agent in (first, second)
    )
    claims = [
        claim
        for forms in product(forms_of_first, forms_of_second)
        for subject, partner in (forms, forms[::-1])
        if (claim := facts.find(f"agent.{subject}.incompatible.{partner}")) is not None
    ]
    claims.sort(key=lambda claim: (claim.conditions.get("level") != BLOCKED, -claim.number()))
    return claims[0] if claims else None


def _meet(scene: CourseScene, body: str, first: str, second: str, apart_h: int) -> int | None:
    """Return the first hour in which one is there within ``apart_h`` after the other was."""
    first_there, second_there = scene.there(body, first), scene.there(body, second)
    near = (_stretched(first_there, apart_h) & second_there) | (
        first_there & _stretched(second_there, apart_h)
    )
    return first_hour(near)


def _stretched(there: Flags, hours: int) -> Flags:
    """Let every presence last ``hours`` longer."""
    index = np.arange(there.size)
    last = np.maximum.accumulate(np.where(there, index, -there.size - hours))
    flags: Flags = index - last <= hours
    return flags


def _reason(claim: Claim) -> str:
    why = claim.conditions.get("why", claim.note)
    source = f" ({claim.source})" if claim.source else ""
    return f"{why[:1].upper()}{why[1:]}{source}; {claim.number():g} h apart, with a change between."


def _caution(
    scene: CourseScene, body: str, first: str, second: str, hour: int, rule: Rule
) -> Caution:
    first_name, second_name = scene.agent_name(first), scene.agent_name(second)
    words = f"{first_name} and {second_name} meet in the same water."
    if rule.level is Level.BLOCKED:
        words = f"Do not combine {first_name} and {second_name}."
    return Caution(
        rule.level,
        rule.code,
        words[:1].upper() + words[1:],
        rule.why,
        rule.claim_key,
        "Take the first one out (carbon where it helps, water changes), wait, then begin.",
        hour=hour,
        body=body,
        agent=second,
    )
