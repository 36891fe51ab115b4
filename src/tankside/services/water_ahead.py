"""Ammonia, nitrite and oxygen ahead in a water emergency, hour by hour, until they are safe.

With a ripe filter the water of the course is told as it is. With a new one the bacteria grow: the
hours then reach as far as print says that a filter takes, and tell the likely course of it with the
soonest and the latest that printed rates give.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside import library
from tankside.claims.care import CareCourse
from tankside.course import CourseRun
from tankside.course.bodies.strata import THREE_STRATA
from tankside.course.bodies.system import FilterState
from tankside.course.bodies.tank_hours import BodyHours
from tankside.course.safety.oxygen import OXYGEN_CARE_KEY
from tankside.course.water.filter_growth import DailyChange, FilterGrowth, filter_growth
from tankside.intake.care_course import care_setting
from tankside.library.diagnosis_files import load_diagnosis
from tankside.quantity.per import HOURS_PER_DAY
from tankside.services.care_case import CareAnswer
from tankside.services.care_choice import run_offered

HOURS = (0, 1, 6, 12, 24, 48, 72, 168, 336, 504, 672, 1008)
"""Hours from the beginning of a course at which the water ahead is told."""

FILTER_KEYS = (
    "practice.care_courses.filter_weeks_unseeded",
    "practice.care_courses.filter_weeks_seeded",
)
CHANGE_KEY = "practice.care_courses.change_share_nitrogen"
MET_KEYS = tuple(
    f"water.nitrification.forecast.{name}" for name in ("met", "readings", "met_left_out")
)
DAYS_PER_WEEK = 7
WHOLE_DAYS_FROM = 3
AMMONIA, NITRITE = "total ammonia", "nitrite"
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
        low: least over the water and filters that fit what is told, at those hours; empty where
            not known.
        high: most over the same.
        likely: with the measured volume and the default rates, at those hours.
        safe_h: first hour from which even the worst of them stays safe; None within the time.
        likely_h: the same of the likely course.
        soonest_h: the same of the best.
        peak: likely and worst extreme on the unsafe side.
    """

    safe: SafeLevel
    at: tuple[int, ...]
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()
    likely: tuple[float, ...] = ()
    safe_h: int | None = None
    likely_h: int | None = None
    soonest_h: int | None = None
    peak: tuple[float, float] | None = None

    @property
    def is_known(self) -> bool:
        """Whether the water ahead could be worked out."""
        return bool(self.low)


@dataclass(frozen=True, slots=True)
class NewFilter:
    """The water ahead while a new filter grows.

    Args:
        share: of the water that is changed every day in ``changed``.
        changed: ammonia and nitrite when that is done.
        met: how many of how many readings of keepers' diaries the forecast met, and how many when
            the diary was left out of its fitting.
        alkalinity_is_read: whether used-up alkalinity was counted.
    """

    share: float
    changed: tuple[AheadRow, ...]
    met: tuple[int, int, int]
    alkalinity_is_read: bool


@dataclass(frozen=True, slots=True)
class WaterAhead:
    """The water ahead under one course of care.

    Args:
        course: its name.
        rows: each substance.
        asks: what must be told before a substance can be worked out.
        filter_weeks: least and most weeks that a filter takes in print, without and with media
            from a running one; empty where the filter is ripe.
        new_filter: what a new filter makes of it; None where it is ripe or cannot be worked out.
    """

    course: str
    rows: tuple[AheadRow, ...]
    asks: tuple[str, ...]
    filter_weeks: tuple[tuple[float, float], ...] = ()
    new_filter: NewFilter | None = None


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
    ammonia, nitrite, oxygen = _safe_levels()
    place = made.tank_hours.body_ids.index(made.course.actions[0].body)
    bodies = [stratum.bodies[place] for stratum in made.tank_hours.strata]
    middle = [spec.place for spec in THREE_STRATA].index(0)
    air = _row(np.array([body.oxygen_mg_l for body in bodies])[:, begins:], oxygen, middle)
    growing = _growing(answer, made, bodies, begins)
    if growing is None:
        nitrogen = (
            _row(np.array([getattr(b, name) for b in bodies])[:, begins:], safe, middle)
            for name, safe in (("total_ammonia_mg_l_n", ammonia), ("nitrite_mg_l_n", nitrite))
        )
        rows = (*nitrogen, air)
    else:
        rows = (*growing[0], air)
    asks = tuple(row.safe.what for row in rows if not row.is_known)
    ripe = filter_of(answer) is FilterState.RIPE
    weeks = () if ripe else _filter_weeks()
    return WaterAhead(offer.course.name, rows, asks, weeks, None if growing is None else growing[1])


def _safe_levels() -> tuple[SafeLevel, SafeLevel, SafeLevel]:
    edges = load_diagnosis()
    return (
        SafeLevel(AMMONIA, "mg/L as N", edges.number("total_ammonia.raised")),
        SafeLevel(NITRITE, "mg/L as N", edges.number("nitrite.raised")),
        SafeLevel("oxygen", "mg/L", library.load().number(OXYGEN_CARE_KEY), below=False),
    )


def _growing(
    answer: CareAnswer, made: CourseRun, bodies: Sequence[BodyHours], begins: int
) -> tuple[tuple[AheadRow, ...], NewFilter] | None:
    """Return ammonia and nitrite while a new filter grows; None where that is not worked out."""
    setting = care_setting(answer.view, library.load(), answer.day, answer.labels)
    weeks = _filter_weeks()
    if setting.case is None or not weeks:
        return None
    system = next(s for s in setting.case.systems if s.id == bodies[0].body)
    facts, nitrogen = setting.facts, made.nitrogen[system.id]
    horizon_h = begins + round(weeks[0][1] * DAYS_PER_WEEK * HOURS_PER_DAY) + 1
    share = facts.number(CHANGE_KEY)
    daily = DailyChange(share, begins + HOURS_PER_DAY)
    ways = [
        filter_growth(system, nitrogen, bodies, THREE_STRATA, facts, horizon_h, change)
        for change in (None, daily)
    ]
    alone, changed = ways
    if alone is None or changed is None:
        return None
    met, readings, left_out = (round(facts.number(key)) for key in MET_KEYS)
    new = NewFilter(
        share, _grown(changed, begins), (met, readings, left_out), alone.alkalinity_is_read
    )
    return _grown(alone, begins), new


def _grown(growth: FilterGrowth, begins: int) -> tuple[AheadRow, ...]:
    ammonia, nitrite, _ = _safe_levels()
    return (
        _row(growth.ammonia_mg_l_n[:, begins:], ammonia, growth.middle),
        _row(growth.nitrite_mg_l_n[:, begins:], nitrite, growth.middle),
    )


def filter_of(answer: CareAnswer) -> FilterState | None:
    """Return whether the filter of the sick fish is ripe, as entered; None when nobody said."""
    setting = care_setting(answer.view, library.load(), answer.day, answer.labels)
    return None if setting.case is None else setting.case.main.filter_state


def _filter_weeks() -> tuple[tuple[float, float], ...]:
    """Return the printed weeks of a new filter, without and with media from a running one."""
    claims = (library.load().find(key) for key in FILTER_KEYS)
    return tuple(
        (claim.low, claim.high)
        for claim in claims
        if claim is not None and claim.low is not None and claim.high is not None
    )


def _row(hourly: Floats, safe: SafeLevel, middle: int) -> AheadRow:
    """Return one substance from its ways ahead, shape (ways, hours), one of them the likely."""
    at = tuple(hour for hour in HOURS if hour < hourly.shape[1])
    if not hourly.size or np.isnan(hourly).any():
        return AheadRow(safe, at)
    extreme = np.max if safe.below else np.min
    is_safe = np.asarray(hourly <= safe.limit if safe.below else hourly >= safe.limit)
    return AheadRow(
        safe,
        at,
        tuple(float(hourly[:, hour].min()) for hour in at),
        tuple(float(hourly[:, hour].max()) for hour in at),
        tuple(float(hourly[middle, hour]) for hour in at),
        _safe_from(np.asarray(is_safe.all(axis=0))),
        _safe_from(is_safe[middle]),
        min((h for way in is_safe if (h := _safe_from(way)) is not None), default=None),
        (float(extreme(hourly[middle])), float(extreme(hourly))),
    )


def _safe_from(safe: NDArray[np.bool_]) -> int | None:
    """Return the first hour from which it stays safe; None when it does not end so."""
    if not safe[-1]:
        return None
    unsafe = np.flatnonzero(~safe)
    return int(unsafe[-1]) + 1 if unsafe.size else 0


def days_words(hours: int) -> str:
    """Return hours as days and hours, as they are said; beyond three days whole days."""
    days, rest = divmod(hours, HOURS_PER_DAY)
    if days > WHOLE_DAYS_FROM:
        return f"{days + (rest > 0)} d"
    parts = [f"{days} d" if days else "", f"{rest} h" if rest or not days else ""]
    return " ".join(part for part in parts if part)
