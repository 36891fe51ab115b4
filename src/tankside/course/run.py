"""Run a course: from timed actions to the hour-by-hour water of every body of the case."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from tankside.claims import Knowledge
from tankside.course.action import Moved, Switch
from tankside.course.body_run import BodyRun, Steps
from tankside.course.books import closing_errors
from tankside.course.counted import counted_days
from tankside.course.course import Course, CourseRun
from tankside.course.hours import HOURS_PER_DAY
from tankside.course.label import LabelEntry
from tankside.course.safety import check_all
from tankside.course.scene import Scene
from tankside.course.schedule import Schedule, declare_all
from tankside.course.stock import StockGroup
from tankside.course.strata import THREE_STRATA, StratumSpec
from tankside.course.system import System
from tankside.course.tank_hours import NOWHERE, BodyHours, Stratum, TankHours

_NO_LABELS: Mapping[str, LabelEntry] = MappingProxyType({})


def run(
    systems: Sequence[System],
    stock: Sequence[StockGroup],
    course: Course,
    facts: Knowledge,
    labels: Mapping[str, LabelEntry] = _NO_LABELS,
    strata: Sequence[StratumSpec] = THREE_STRATA,
    books: bool = False,
) -> CourseRun:
    """Run ``course`` over ``systems``.

    Args:
        systems: every body of water of the case.
        stock: the animals at the start.
        course: the timed actions.
        facts: what is known.
        labels: containers by agent id; an agent without one gets no printed amount, and its
            exact target goes into the water instead.
        strata: combinations of uncertain water to run.
        books: also close the account of everything dissolved (``CourseRun.balance``).

    Returns:
        The water, the amounts, the lines and the cautions.

    Raises:
        BadInput: E-COURSE-01 an action outside the course or at an unknown body.
    """
    schedule = declare_all(systems, stock, course, facts, labels)
    steps = {system.id: Steps() for system in systems}
    for hour, effect in schedule.effects:
        if not isinstance(effect, Moved):
            steps[effect.body].enter(hour, effect)
    hours = course.days * HOURS_PER_DAY
    bodies = [BodyRun(s, steps[s.id], strata, hours, facts) for s in systems]
    where = _whereabouts(systems, stock, schedule, hours)
    tank_hours = TankHours(
        hours,
        tuple(system.id for system in systems),
        tuple(
            Stratum(spec.name, spec.weight, tuple(_body_hours(body, at) for body in bodies))
            for at, spec in enumerate(strata)
        ),
        schedule.events,
        where,
    )
    balance = {
        f"{body.system.id}/{name}": error
        for body in bodies
        if books
        for name, error in closing_errors(body.mixing, body.solved).items()
    }
    places = [spec.place for spec in strata]
    scene = Scene(
        tuple(systems),
        tuple(stock),
        facts,
        schedule,
        {body.system.id: body for body in bodies},
        where,
        harsh=places.index(min(places)),
        mild=places.index(max(places)),
    )
    return CourseRun(
        course,
        tank_hours,
        schedule.amounts,
        schedule.lines,
        check_all(scene),
        counted_days(scene),
        balance,
    )


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


def _body_hours(body: BodyRun, at: int) -> BodyHours:
    unknown = np.full(body.hours, np.nan)
    return BodyHours(
        body=body.system.id,
        volume_l=float(body.mixing.volume_l[at]),
        temperature_c=body.temperature_c[at],
        salinity_g_l=body.salinity_g_l[at],
        residue_low_mg_l={agent: series[at] for agent, series in body.residue_low.items()},
        residue_high_mg_l={agent: series[at] for agent, series in body.residue_high.items()},
        oxygen_mg_l=unknown,
        total_ammonia_mg_l_n=unknown,
        nitrite_mg_l_n=unknown,
        ph=unknown,
        light=body.light,
        exchange_per_h=np.zeros(body.hours),
        uv_per_h=body.uv,
        fine_filter_per_h=body.switched(Switch.FINE_FILTER, 0.0),
    )
