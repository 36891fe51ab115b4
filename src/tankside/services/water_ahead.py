"""Ammonia, nitrite and oxygen ahead in a water emergency, hour by hour, until they are safe."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside import library
from tankside.claims.care import CareCourse
from tankside.course import CourseRun
from tankside.course.bodies.system import FilterState
from tankside.course.bodies.tank_hours import BodyHours
from tankside.course.safety.oxygen import OXYGEN_CARE_KEY
from tankside.intake.care_course import care_setting
from tankside.library.diagnosis_files import load_diagnosis
from tankside.quantity.per import HOURS_PER_DAY
from tankside.services.care_case import CareAnswer
from tankside.services.care_choice import run_offered

HOURS = (0, 1, 6, 12, 24, 48, 72, 168)
"""Hours from the beginning of a course at which the water ahead is told."""

FILTER_KEYS = (
    "practice.care_courses.filter_weeks_unseeded",
    "practice.care_courses.filter_weeks_seeded",
)
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SafeLevel:
    """What is safe of one substance.

    Args:
        what: what it is.
        unit: its unit.
        limit: the level, in the unit.
        below: whether the safe side lies below it.
    """

    what: str
    unit: str
    limit: float
    below: bool = True


@dataclass(frozen=True, slots=True)
class AheadRow:
    """One substance ahead.

    Args:
        safe: what it is and what of it is safe.
        at: hours from the beginning of the course.
        low: least over the water that fits the measures, at those hours; empty where not known.
        high: most over the same.
        safe_h: first hour from which even the harsher water stays safe; None within the course.
    """

    safe: SafeLevel
    at: tuple[int, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    safe_h: int | None

    @property
    def is_known(self) -> bool:
        """Whether the water ahead could be worked out."""
        return bool(self.low)


@dataclass(frozen=True, slots=True)
class WaterAhead:
    """The water ahead under one course of care.

    Args:
        course: its name.
        rows: each substance.
        asks: what must be told before a substance can be worked out.
        filter_weeks: least and most weeks that a filter takes in print, without and with media
            from a running one; empty where the filter is ripe.
    """

    course: str
    rows: tuple[AheadRow, ...]
    asks: tuple[str, ...]
    filter_weeks: tuple[tuple[float, float], ...] = ()


def water_ahead(answer: CareAnswer) -> WaterAhead | None:
    """Return the water ahead under the first water emergency that is offered; None without one.

    Args:
        answer: the care of the case.
    """
    offer = next((o for o in answer.offers if o.kind is CareCourse.WATER_EMERGENCY), None)
    made = None if offer is None else run_offered(answer, offer)
    if offer is None or made is None:
        return None
    begins = min(action.at_h for action in offer.course.actions)
    edges = load_diagnosis()
    ammonia = SafeLevel("total ammonia", "mg/L as N", edges.number("total_ammonia.raised"))
    nitrite = SafeLevel("nitrite", "mg/L as N", edges.number("nitrite.raised"))
    oxygen = SafeLevel("oxygen", "mg/L", library.load().number(OXYGEN_CARE_KEY), below=False)
    rows = (
        _row(made, begins, ammonia, lambda body: body.total_ammonia_mg_l_n),
        _row(made, begins, nitrite, lambda body: body.nitrite_mg_l_n),
        _row(made, begins, oxygen, lambda body: body.oxygen_mg_l),
    )
    asks = tuple(row.safe.what for row in rows if not row.is_known)
    ripe = filter_of(answer) is FilterState.RIPE
    return WaterAhead(offer.course.name, rows, asks, () if ripe else _filter_weeks())


def filter_of(answer: CareAnswer) -> FilterState | None:
    """Return whether the filter of the sick fish is ripe, as entered; None when nobody said."""
    setting = care_setting(answer.view, library.load(), answer.day, answer.labels)
    return None if setting.case is None else setting.case.main.filter_state


def _filter_weeks() -> tuple[tuple[float, float], ...]:
    """Return the printed weeks of a new filter; no growth of bacteria is worked out."""
    claims = (library.load().find(key) for key in FILTER_KEYS)
    return tuple(
        (claim.low, claim.high)
        for claim in claims
        if claim is not None and claim.low is not None and claim.high is not None
    )


def _row(
    made: CourseRun, begins: int, safe: SafeLevel, read: Callable[[BodyHours], Floats]
) -> AheadRow:
    place = made.tank_hours.body_ids.index(made.course.actions[0].body)
    hourly = np.array([read(stratum.bodies[place]) for stratum in made.tank_hours.strata])
    hourly = hourly[:, begins:]
    at = tuple(hour for hour in HOURS if hour < hourly.shape[1])
    if not hourly.size or np.isnan(hourly).any():
        return AheadRow(safe, at, (), (), None)
    worse = hourly.max(axis=0) if safe.below else hourly.min(axis=0)
    return AheadRow(
        safe,
        at,
        tuple(float(hourly[:, hour].min()) for hour in at),
        tuple(float(hourly[:, hour].max()) for hour in at),
        _safe_from(worse <= safe.limit if safe.below else worse >= safe.limit),
    )


def _safe_from(safe: NDArray[np.bool_]) -> int | None:
    """Return the first hour from which it stays safe; None when it does not end so."""
    if not safe[-1]:
        return None
    unsafe = np.flatnonzero(~safe)
    return int(unsafe[-1]) + 1 if unsafe.size else 0


def days_words(hours: int) -> str:
    """Return hours as days and hours, as they are said."""
    days, rest = divmod(hours, HOURS_PER_DAY)
    parts = [f"{days} d" if days else "", f"{rest} h" if rest or not days else ""]
    return " ".join(part for part in parts if part)
