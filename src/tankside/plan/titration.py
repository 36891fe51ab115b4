"""The parts of a course that brings an agent to strength by test: steps, tests, length."""

from __future__ import annotations

from tankside.course import System
from tankside.course.actions import StrengthTest, Titrate
from tankside.course.amounts.titration import Titration, whole_days
from tankside.plan.candidate import CandidatePart, Lever
from tankside.plan.levers import Levers
from tankside.plan.situation import Substance
from tankside.quantity.per import HOURS_PER_DAY


def reached_h(titration: Titration, to_mg_l: float, at_h: int) -> int:
    """Return the hour of the last step on the way up."""
    return at_h + (len(titration.steps_mg_l(to_mg_l)) - 1) * titration.every_h


def days_of(titration: Titration, days: int, at_h: int) -> int:
    """Return the days of a course whose days at strength are ``days``, or more where print asks.

    Args:
        titration: how the agent is given.
        days: days that the parasite's cycle asks for, from the first step on [d].
        at_h: hour of the first step.
    """
    start = at_h // HOURS_PER_DAY
    return start + way_up_d(titration) + max(days - start, titration.days)


def way_up_d(titration: Titration) -> int:
    """Return the days from the first step to the first day that may count [d]."""
    return whole_days((titration.steps - 1) * titration.every_h) + 1


def titrated(
    system: System, substance: Substance, titration: Titration, mg_l: float, at_h: int, days: int
) -> CandidatePart:
    """Return the steps up to a strength; what the tests show is added or taken out later.

    Args:
        system: the water.
        substance: the agent.
        titration: how it is given.
        mg_l: strength to reach [mg/L].
        at_h: hour of the first step.
        days: days of the course.
    """
    strengths = titration.steps_mg_l(mg_l)
    needed = days - at_h // HOURS_PER_DAY - way_up_d(titration)
    steps = tuple(
        Titrate(
            at_h + number * titration.every_h, system.id, substance.agent, strength,
            titration.low_mg_l, titration.high_mg_l, needed, substance.reason,
        )
        for number, strength in enumerate(strengths)
    )  # fmt: skip
    reads = f"{mg_l / titration.per_reading:.3g} {titration.unit}"
    words = f"{substance.name} by test to {reads} in {len(steps)} steps"
    return CandidatePart(Lever.DOSE, words, steps)


def strength_tests(
    system: System, agent: str, titration: Titration, at_h: int, days: int, levers: Levers
) -> CandidatePart:
    """Return the tests: often until the strength is reached, then at least daily, mornings first.

    Args:
        system: the water.
        agent: agent id.
        titration: how it is given and read.
        at_h: hour of the first step.
        days: days of the course.
        levers: the hour for looking and measuring.
    """
    full_h = at_h + way_up_d(titration) * HOURS_PER_DAY
    first = (at_h // HOURS_PER_DAY + 1) * HOURS_PER_DAY + levers.morning_h
    often = set(range(first, full_h, titration.test_first_h))
    daily = set(range(first, days * HOURS_PER_DAY, titration.test_every_h))
    hours = sorted(hour for hour in often | daily if hour < days * HOURS_PER_DAY)
    factor = titration.per_reading
    tests = tuple(
        StrengthTest(
            hour, system.id, agent, titration.reads, titration.unit,
            titration.low_mg_l / factor, titration.high_mg_l / factor,
        )
        for hour in hours
    )  # fmt: skip
    return CandidatePart(Lever.CHECK, f"{titration.reads} tested", tests)
