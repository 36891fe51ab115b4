"""Run a course: from timed actions to the hour-by-hour water of every body of the case."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from tankside.claims import Knowledge
from tankside.course.actions.course import Course
from tankside.course.actions.schedule import Schedule, declare_all, put_in_by
from tankside.course.amounts.label import LabelEntry
from tankside.course.amounts.same_in_water import as_put_in
from tankside.course.bodies.effects import Moved
from tankside.course.bodies.stock import Living, StockGroup, living_of, with_weights
from tankside.course.bodies.strata import THREE_STRATA, StratumSpec
from tankside.course.bodies.system import System
from tankside.course.bodies.tank_hours import NOWHERE, Stratum, TankHours
from tankside.course.course_run import CourseRun
from tankside.course.safety import check_all
from tankside.course.safety.counted import counted_days
from tankside.course.safety.scene import CourseScene, whole_doses
from tankside.course.water.body_run import BodyEffects, BodyRun
from tankside.course.water.chemistry import Chemistry, chemistry
from tankside.course.water.mass_balance import closing_errors
from tankside.quantity.per import HOURS_PER_DAY

_NO_LABELS: Mapping[str, LabelEntry] = MappingProxyType({})


def run(
    systems: Sequence[System],
    stock: Sequence[StockGroup],
    course: Course,
    facts: Knowledge,
    labels: Mapping[str, LabelEntry] = _NO_LABELS,
    strata: Sequence[StratumSpec] = THREE_STRATA,
    with_balance: bool = False,
) -> CourseRun:
    """Run ``course`` over ``systems``.

    Args:
        systems: every body of water of the case.
        stock: the animals and plants at the start.
        course: the timed actions.
        facts: what is known.
        labels: containers by agent id; an agent without one gets no printed amount, and its
            exact target goes into the water instead.
        strata: combinations of uncertain water to run.
        with_balance: also close the account of everything dissolved (``CourseRun.balance``).

    Returns:
        The water, the amounts, the lines and the cautions.

    Raises:
        BadInput: E-COURSE-01 an action outside the course or at an unknown body.
    """
    systems = [as_put_in(facts, system, put_in_by(course)) for system in systems]
    lives = with_weights(facts, tuple(stock))
    groups, plants = _animals_and_plants(facts, lives)
    schedule = declare_all(systems, lives, course, facts, labels)
    hours = course.days * HOURS_PER_DAY
    where = _whereabouts(systems, lives, schedule, hours)
    bodies = _bodies(systems, schedule, strata, hours, facts)
    waters = chemistry(bodies, groups, where)
    places = [spec.place for spec in strata]
    scene = CourseScene(
        tuple(systems), groups, plants, facts, schedule,
        {water.run.system.id: water for water in waters},
        {body.system.id: body for body in bodies},
        whole_doses(schedule), where,
        harsh=places.index(min(places)),
        middle=places.index(min(places, key=abs)),
        mild=places.index(max(places)),
    )  # fmt: skip
    return CourseRun(
        course,
        _tank_hours(systems, waters, strata, schedule, where, hours),
        schedule.amounts,
        schedule.lines,
        check_all(scene),
        counted_days(scene),
        dict(_balance(waters)) if with_balance else {},
        {water.run.system.id: water.nitrogen for water in waters},
    )


def _animals_and_plants(
    facts: Knowledge, lives: Sequence[StockGroup]
) -> tuple[tuple[StockGroup, ...], tuple[StockGroup, ...]]:
    plants = tuple(group for group in lives if living_of(facts, group) is Living.PLANT)
    return tuple(group for group in lives if group not in plants), plants


def _bodies(
    systems: Sequence[System],
    schedule: Schedule,
    strata: Sequence[StratumSpec],
    hours: int,
    facts: Knowledge,
) -> list[BodyRun]:
    steps = {system.id: BodyEffects() for system in systems}
    for hour, effect in schedule.effects:
        if not isinstance(effect, Moved):
            steps[effect.body].enter(hour, effect)
    return [BodyRun(system, steps[system.id], strata, hours, facts) for system in systems]


def _whereabouts(
    systems: Sequence[System], stock: Sequence[StockGroup], schedule: Schedule, hours: int
) -> dict[str, NDArray[np.int16]]:
    """Return the index of the body each group is in, hour by hour."""
    index = {system.id: number for number, system in enumerate(systems)}
    where = {
        group.id: np.full(hours, index.get(group.body, NOWHERE), dtype=np.int16) for group in stock
    }
    for hour, effect in schedule.effects:
        if isinstance(effect, Moved) and effect.group in where:
            where[effect.group][hour:] = index.get(effect.to_body, NOWHERE)
    return where


def _tank_hours(
    systems: Sequence[System],
    waters: Sequence[Chemistry],
    strata: Sequence[StratumSpec],
    schedule: Schedule,
    where: Mapping[str, NDArray[np.int16]],
    hours: int,
) -> TankHours:
    return TankHours(
        hours,
        tuple(system.id for system in systems),
        tuple(
            Stratum(spec.name, spec.weight, tuple(water.hours(at) for water in waters))
            for at, spec in enumerate(strata)
        ),
        schedule.events,
        where,
    )


def _balance(waters: Sequence[Chemistry]) -> Iterator[tuple[str, float]]:
    """Yield the closing error of every account of every body."""
    for water in waters:
        body, waste = water.run, water.nitrogen
        for name, error in closing_errors(body.mixing, body.solved).items():
            yield f"{body.system.id}/{name}", error
        for part in (waste, water.acidity):
            if part.mixing is not None and part.solved is not None:
                for name, error in closing_errors(part.mixing, part.solved).items():
                    yield f"{body.system.id}/{name}", error
