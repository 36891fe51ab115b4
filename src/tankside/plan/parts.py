"""Build the parts of a course, one lever at a time."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from tankside.course import Aeration, System
from tankside.course.actions import (
    Air,
    Carbon,
    Count,
    Dose,
    FineFilter,
    Siphon,
    TakeReading,
    Transfer,
    UltraViolet,
    Warm,
    WaterChange,
    look_for,
    removal,
    salt_steps,
)
from tankside.course.actions.action import Action
from tankside.plan.candidate import CandidatePart, Lever
from tankside.plan.levers import Levers
from tankside.plan.situation import Situation, Substance
from tankside.plan.timing import evenings
from tankside.quantity.per import HOURS_PER_DAY, MG_PER_G

WATER_TESTS = ("temperature", "ammonia", "nitrite")


def media_out(system: System, at_h: int) -> tuple[CandidatePart, ...]:
    """Return carbon out and UV off, unless they are known not to be there or not to run."""
    parts = []
    if system.carbon_in is not False:
        parts.append(
            CandidatePart(Lever.CARBON_OUT, "carbon out", (Carbon(at_h, system.id, False),))
        )
    if system.uv_on is not False:
        parts.append(CandidatePart(Lever.UV_OFF, "UV off", (UltraViolet(at_h, system.id, False),)))
    return tuple(parts)


def uv_on(system: System, at_h: int) -> tuple[CandidatePart, ...]:
    """Return UV on, where there is a unit whose flow is known and it does not run yet."""
    turnover = system.uv_turnover_per_h
    if turnover is None or not turnover > 0 or system.uv_on:
        return ()
    return (CandidatePart(Lever.UV_ON, "UV on", (UltraViolet(at_h, system.id, True, turnover),)),)


def fine_filter(system: System, at_h: int) -> tuple[CandidatePart, ...]:
    """Return fine filtration in the existing filter stream, where its flow is known."""
    turnover = system.turnover_per_h
    if turnover is None or not turnover > 0:
        return ()
    step = FineFilter(at_h, system.id, True, turnover)
    return (CandidatePart(Lever.FINE_FILTER, "fine filter", (step,)),)


def air(system: System, at_h: int) -> tuple[CandidatePart, ...]:
    """Return the air stone, unless one is known to run."""
    if system.aeration is Aeration.AIR_STONE:
        return ()
    return (CandidatePart(Lever.AIR, "air stone", (Air(at_h, system.id, True),)),)


def changes(
    system: System, litres: float, first_h: int, every_d: int, days: int, siphoning: bool
) -> CandidatePart:
    """Return part changes at an interval, with the bottom siphoned or without."""
    rhythm = "every day" if every_d == 1 else f"every {every_d} days"
    return changes_at(system, litres, evenings(first_h, every_d, days), rhythm, siphoning)


def changes_at(
    system: System, litres: float, hours: Sequence[int], rhythm: str, siphoning: bool
) -> CandidatePart:
    """Return part changes at hours, ``rhythm`` in words, the bottom siphoned or not."""
    plain = tuple(WaterChange(hour, system.id, litres) for hour in hours)
    if not siphoning:
        return CandidatePart(Lever.CHANGE, f"{litres:g} L changed {rhythm}", plain)
    siphons = tuple(Siphon(hour, system.id, litres) for hour in hours)
    return CandidatePart(
        Lever.SIPHON, f"bottom siphoned {rhythm} with {litres:g} L", siphons, plain
    )


def salt(
    system: System, substance: Substance, mg_l: float, at_h: int, levers: Levers
) -> CandidatePart:
    """Return salt raised in equal steps, counting what is there already."""
    to_g_l = mg_l / MG_PER_G
    residues = [
        residue.high_mg_l for residue in system.residues if residue.agent == substance.agent
    ]
    there = sum(amount or 0.0 for amount in residues) / MG_PER_G
    steps = max(1, ceil((to_g_l - there) / levers.salt_step_g_l))
    done = salt_steps(at_h, system.id, to_g_l, steps, levers.salt_step_every_h, there,
                      substance.reason)  # fmt: skip
    word = "step" if steps == 1 else "steps"
    return CandidatePart(Lever.SALT, f"salt to {to_g_l:g} g/L in {steps} {word}", done)


def dose(
    system: System, substance: Substance, mg_l: float, at_h: int, every_d: int, days: int
) -> CandidatePart:
    """Return an agent brought to strength: once (every_d 0), or in full at an interval."""
    hours = evenings(at_h, every_d, days) if every_d else (at_h,)
    rhythm = f"every {every_d} days" if every_d else "once, changed water dosed again"
    return doses_at(system, substance, mg_l, hours, rhythm)


def few_doses(
    system: System, substance: Substance, mg_l: float, at_h: int, every_d: int, number: int
) -> CandidatePart:
    """Return an agent brought to strength a few times, so many days apart."""
    hours = tuple(at_h + n * every_d * HOURS_PER_DAY for n in range(number))
    return doses_at(system, substance, mg_l, hours, f"{number} times, {every_d} days apart")


def doses_at(
    system: System, substance: Substance, mg_l: float, hours: Sequence[int], rhythm: str
) -> CandidatePart:
    """Return an agent brought to strength at hours, ``rhythm`` in words."""
    doses = tuple(
        Dose(hour, system.id, substance.agent, mg_l, reason=substance.reason) for hour in hours
    )
    return CandidatePart(Lever.DOSE, f"{substance.name} {mg_l:g} mg/L {rhythm}", doses)


def warm(system: System, to_c: float, at_h: int, levers: Levers) -> CandidatePart:
    """Return warming to a temperature at the usual speed."""
    step = Warm(at_h, system.id, to_c, levers.warm_per_day_c)
    return CandidatePart(Lever.WARM, f"warmed to {to_c:g} C", (step,))


def move(situation: Situation, to_body: str, at_h: int) -> CandidatePart:
    """Return every fish group moved to another body; the display stays fishless."""
    moved = tuple(
        Transfer(at_h, group.body, group.id, to_body)
        for group in situation.stock
        if group.id in situation.fish and group.body != to_body
    )
    name = situation.body(to_body).name
    return CandidatePart(Lever.TRANSFER, f"all fish moved to {name}, display fishless", moved)


def moves(
    situation: Situation, bodies: tuple[str, ...], at_h: int, every_h: int, n: int
) -> CandidatePart:
    """Return tank transfer: all fish moved ``n`` times between bodies that are emptied after."""
    actions: list[Action] = []
    place = situation.main
    for number in range(n):
        target = bodies[number % len(bodies)]
        hour = at_h + number * every_h
        actions += [
            Transfer(hour, place, group.id, target)
            for group in situation.stock
            if group.id in situation.fish
        ]
        if place != situation.main:
            actions.append(
                Siphon(hour, place, situation.body(place).volume.point_l, put_back=False)
            )
        place = target
    return CandidatePart(
        Lever.TRANSFER, f"all fish moved every {every_h} h, {n} times", tuple(actions)
    )


def take_out(
    system: System, litres: float, days: int, levers: Levers, substance: Substance
) -> CandidatePart:
    """Return the removal of an agent after the last day: changes that put nothing back."""
    at_h = days * HOURS_PER_DAY + levers.evening_h
    steps = removal(
        at_h,
        system.id,
        litres,
        levers.removal_changes,
        HOURS_PER_DAY,
        carbon=substance.carbon_removes is True,
    )
    return CandidatePart(Lever.REMOVAL, f"{substance.name} taken out", steps)


def checks(situation: Situation, days: int, levers: Levers, body: str) -> CandidatePart:
    """Return counts and readings of the water the fish are in, at an interval."""
    start = situation.first_h // HOURS_PER_DAY
    every = levers.count_every_d
    counts: list[Action] = []
    for day in range(start + every, days, every):
        hour = day * HOURS_PER_DAY + levers.morning_h
        counts += [
            Count(hour, body, group, situation.counted or look_for("spots"))
            for group in (situation.watched or situation.fish)[:1]
        ]
        counts.append(TakeReading(hour, body, WATER_TESTS))
    return CandidatePart(Lever.CHECK, "counts and water tests", tuple(counts))
