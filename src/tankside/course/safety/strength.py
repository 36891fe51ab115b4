"""Is any agent ever stronger, longer or sooner again than its limits allow?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from tankside.claims import Claim, setting
from tankside.course.amounts.active_forms import same_active
from tankside.course.amounts.limits import Around, Limit, hard_limit, lowest_useful, soft_limit
from tankside.course.amounts.needs import around
from tankside.course.amounts.printing import concentration
from tankside.course.amounts.stock_solution import COARSEST
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.tank_hours import Channel, TimedEvent
from tankside.course.bodies.words import show
from tankside.course.safety.scene import PROLONGED, CourseScene, first_hour
from tankside.quantity.per import MINUTES_PER_HOUR

FEED = "feed"
_SLACK = setting(1e-9, "a strength exactly at the limit passes whatever the last digits")


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield E-DOSE-10, -11 and -13 (strength), -12 (minutes) and -22 (too soon again)."""
    for body, agent in scene.treated():
        yield from _strength(scene, body, agent)
        yield from _too_soon(scene, body, agent)
    yield from _baths(scene)


def _around(scene: CourseScene, body: str) -> Around:
    groups = [g for g in scene.stock if bool(scene.in_body(g.id, body).any())]
    return around(scene.facts, scene.bodies[body].readings, groups)


def _strength(scene: CourseScene, body: str, agent: str) -> Iterator[Caution]:
    route = scene.route(body, agent)
    doses = scene.doses(body, agent)
    if not doses:
        return
    for at, dose in doses:
        if dose.minutes is not None:
            yield from _minutes(scene, agent, dose.route, dose.minutes, at, body)
            yield from _not_ended(scene, agent, dose.minutes, at, body)
        elif dose.route != PROLONGED:
            yield _how_long(scene, agent, dose.route, at, body)
    here = _around(scene, body)
    hard = hard_limit(scene.facts, agent, route, here)
    if hard is None:
        yield _no_limit(scene, body, agent)
        return
    above = _first_above(scene, body, agent, hard)
    if above is not None:
        yield _above_hard(scene, body, agent, hard, above)
        return
    yield from _never_useful(scene, body, agent, route)
    soft = soft_limit(scene.facts, agent, route, here)
    as_meant = scene.middle
    above = None if soft is None else _first_above(scene, body, agent, _as_weighed(soft), as_meant)
    if soft is not None and above is not None:
        yield _above_soft(scene, body, agent, soft, above)


def _as_weighed(limit: Limit) -> Limit:
    """Return a soft limit with what a tool may round: a dose at its usual end is not above it."""
    return replace(limit, mg_l=limit.mg_l * (1 + COARSEST))


def _not_ended(
    scene: CourseScene, agent: str, minutes: float, hour: int, body: str
) -> Iterator[Caution]:
    """Block a timed bath of a whole tank that no change of water ends in time."""
    end = hour + math.ceil(minutes / MINUTES_PER_HOUR)
    high = scene.high(body, agent)
    if end >= high.size:
        return
    lasting = hard_limit(scene.facts, agent, PROLONGED, _around(scene, body))
    if not high[end] <= (0.0 if lasting is None else lasting.mg_l):
        yield Caution(
            Level.BLOCKED,
            "E-DOSE-12",
            f"Nothing ends the bath with {scene.agent_name(agent)}.",
            f"After {minutes:g} min {_known(float(high[end]))} may still be there.",
            "" if lasting is None else lasting.claim_key,
            "Plan the change of water that ends it, or use a separate bath.",
            hour=end,
            body=body,
            agent=agent,
        )


def _how_long(scene: CourseScene, agent: str, route: str, hour: int, body: str) -> Caution:
    return Caution(
        Level.BLOCKED,
        "E-DOSE-20",
        f"How long is the {route} with {scene.agent_name(agent)}?",
        "A strength for minutes is too strong for days.",
        f"agent.{agent}.minutes_max.{route}",
        "Give the minutes.",
        hour=hour,
        body=body,
        agent=agent,
    )


def _first_above(
    scene: CourseScene, body: str, agent: str, limit: Limit, at: int | None = None
) -> int | None:
    """Return the first hour in which the high edge is not inside a limit."""
    return first_hour(~(scene.high(body, agent, at) <= limit.mg_l * (1 + _SLACK)))


def _never_useful(scene: CourseScene, body: str, agent: str, route: str) -> Iterator[Caution]:
    """Point to a dose that stays below what print calls useful, whatever is uncertain."""
    low = lowest_useful(scene.facts, agent, route, scene.bodies[body].system.water)
    if low is None or not scene.high(body, agent).max() < low.mg_l * (1 - COARSEST):
        return
    yield Caution(
        Level.CARE,
        "E-DOSE-13",
        f"{scene.agent_name(agent)} never reaches its useful strength: is the form right?",
        f"At most {_highest(scene, body, agent)}; useful from "
        f"{concentration(low.mg_l, '')}{low.cited}.",
        low.claim_key,
        "Check the strength, its basis and the volume; a weak dose only costs days.",
        body=body,
        agent=agent,
    )


def _highest(scene: CourseScene, body: str, agent: str) -> str:
    return _known(float(scene.high(body, agent).max()))


def _known(mg_l: float) -> str:
    return concentration(mg_l, "") if math.isfinite(mg_l) else "an amount nobody knows"


def _no_limit(scene: CourseScene, body: str, agent: str) -> Caution:
    return Caution(
        Level.BLOCKED,
        "E-DOSE-10",
        f"No limit is known for {scene.agent_name(agent)} by this route.",
        "What nobody has published is not offered.",
        "",
        "Choose another agent or another route.",
        body=body,
        agent=agent,
    )


def _above_hard(scene: CourseScene, body: str, agent: str, hard: Limit, hour: int) -> Caution:
    """Block what may pass the limit in the smallest volume that fits, as the amount itself is."""
    by_volume_alone = _first_above(scene, body, agent, hard, scene.middle) is None
    again = "measure the volume a second way, " if by_volume_alone else ""
    return Caution(
        Level.BLOCKED,
        "E-DOSE-10",
        f"{scene.agent_name(agent)} may pass its hard limit. There is no override.",
        f"Up to {_highest(scene, body, agent)} if the water is the smallest that fits and as "
        f"little is lost as may be; the limit is {concentration(hard.mg_l, '')}{hard.cited}."
        f"{unknown_there(scene, body, agent, scene.route(body, agent))}",
        hard.claim_key,
        f"Lower the strength, {again}change water before the next dose, or measure what is left.",
        hour=hour,
        body=body,
        agent=agent,
    )


def unknown_there(scene: CourseScene, body: str, agent: str, route: str) -> str:
    """Say which reading may lift a stop, where nobody knows how much is there already."""
    hard = hard_limit(scene.facts, agent, route, _around(scene, body))
    if hard is None or not bool(scene.bodies[body].unknown(agent).any()):
        return ""
    most = concentration(hard.mg_l, "")
    return f" A reading of at most {most} of it there may lift this stop: the dose counts it."


def _above_soft(scene: CourseScene, body: str, agent: str, soft: Limit, hour: int) -> Caution:
    typed = dict.fromkeys(dose.reason for _, dose in scene.doses(body, agent) if dose.reason)
    reason = f" Reason given: {'; '.join(typed)}." if typed else ""
    return Caution(
        Level.CARE,
        "E-DOSE-11",
        f"{scene.agent_name(agent)} may be stronger than usual"
        + ("." if typed else ": write down why."),
        f"Up to {_known(float(scene.high(body, agent, scene.middle).max()))}; usual at most "
        f"{concentration(soft.mg_l, '')}{soft.cited}.{reason}",
        soft.claim_key,
        "Watch the fish, stop when the reason no longer holds."
        if typed
        else "Lower the strength or give the reason.",
        hour=hour,
        body=body,
        agent=agent,
    )


def _too_soon(scene: CourseScene, body: str, agent: str) -> Iterator[Caution]:
    """Block a dose sooner than its interval after the last one, before the course or in it."""
    interval = _longest_interval(scene, agent, scene.route(body, agent))
    if interval is None:
        return
    shortest_h = interval.bounds()[0]
    doses: list[float] = [hour for hour, _ in scene.doses(body, agent)]
    hours = [*_put_in_before(scene, body, agent), *doses]
    for before, after in pairwise(hours):
        if after >= 0 and not after - before >= shortest_h:
            yield Caution(
                Level.BLOCKED,
                "E-DOSE-22",
                f"{scene.agent_name(agent)} is given again too soon.",
                f"{after - before:.3g} h after the last dose; at least {shortest_h:g} h.",
                interval.key,
                "Never double to catch up: move the later dose.",
                hour=int(after),
                body=body,
                agent=agent,
            )
            return


def _longest_interval(scene: CourseScene, agent: str, route: str) -> Claim | None:
    """Return the interval to keep: the longest that is printed of any form of the same actives."""
    claims = [scene.facts.find(f"agent.{form}.interval.{route}") for form in _forms(scene, agent)]
    printed = [claim for claim in claims if claim is not None]
    return max(printed, key=lambda claim: claim.bounds()[0], default=None)


def _forms(scene: CourseScene, agent: str) -> list[str]:
    """Return the agent and the other forms of exactly its actives."""
    record = scene.agent(agent)
    others = same_active(scene.facts, agent)
    actives = set() if record is None else set(record.actives)
    return [agent, *(o.agent.id for o in others if set(o.agent.actives) == actives)]


def _put_in_before(scene: CourseScene, body: str, agent: str) -> list[float]:
    """Return when the agent, or another form of it, last went in before the course began [h]."""
    forms = _forms(scene, agent)
    system = scene.bodies[body].system
    there = [r.put_in_h for r in system.residues if r.agent in forms]
    before = [hour for hour in there if hour < system.residues_at_h]
    return [max(before)] if before else []


def _baths(scene: CourseScene) -> Iterator[Caution]:
    """Yield what stands against baths beside the tank and against feed that carries an agent."""
    for event in scene.schedule.events:
        if not event.agent or event.channel not in (Channel.BATH, Channel.FEED):
            continue
        route = FEED if event.channel is Channel.FEED else event.route
        around_bath = around(
            scene.facts,
            scene.bodies[event.body].readings,
            [group for group in scene.stock if group.id == event.group],
        )
        hard = hard_limit(scene.facts, event.agent, route, around_bath)
        if hard is None or not event.amount <= hard.mg_l * (1 + _SLACK):
            limit = "none known" if hard is None else f"{_told(hard.mg_l, event)}{hard.cited}"
            yield Caution(
                Level.BLOCKED,
                "E-DOSE-10",
                f"The {route} with {scene.agent_name(event.agent)} is above its hard limit.",
                f"{_told(event.amount, event)}; the limit is {limit}.",
                hard.claim_key if hard else "",
                "Lower the strength; there is no override.",
                hour=event.hour,
                body=event.body,
                agent=event.agent,
            )
        soft = soft_limit(scene.facts, event.agent, route, around_bath)
        if soft is not None and not event.amount <= soft.mg_l * (1 + _SLACK):
            yield _bath_above_soft(scene, event, soft, route)
        if route != FEED:
            yield from _minutes(scene, event.agent, route, event.minutes, event.hour, event.body)


def _bath_above_soft(scene: CourseScene, event: TimedEvent, soft: Limit, route: str) -> Caution:
    return Caution(
        Level.CARE,
        "E-DOSE-11",
        f"The {route} with {scene.agent_name(event.agent)} is stronger than usual.",
        f"{_told(event.amount, event)}; usual at most {_told(soft.mg_l, event)}{soft.cited}.",
        soft.claim_key,
        "Lower the strength or give the reason.",
        hour=event.hour,
        body=event.body,
        agent=event.agent,
    )


def _told(strength: float, event: TimedEvent) -> str:
    """Write a strength in the unit of the event: feed is told per kg of fish and day."""
    if event.channel is Channel.FEED:
        return show(strength, event.unit)
    return concentration(strength, "")


def _minutes(
    scene: CourseScene, agent: str, route: str, minutes: float, hour: int, body: str
) -> Iterator[Caution]:
    forms = _forms(scene, agent)
    claims = [scene.facts.find(f"agent.{form}.minutes_max.{route}") for form in forms]
    printed = [claim for claim in claims if claim is not None]
    longest = min(printed, key=lambda claim: claim.bounds()[1], default=None)
    if longest is not None and not minutes <= longest.bounds()[1]:
        stated = longest.source or longest.provenance.value.replace("_", " ")
        yield Caution(
            Level.BLOCKED,
            "E-DOSE-12",
            f"{minutes:g} min in {scene.agent_name(agent)} is too long.",
            f"At most {longest.bounds()[1]:g} min ({stated}).",
            longest.key,
            "Shorten the time; stay beside it.",
            hour=hour,
            body=body,
            agent=agent,
        )
