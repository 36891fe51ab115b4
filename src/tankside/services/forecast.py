"""Forecast: the chosen course and no treatment, under the same luck, in windows and shares."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from math import ceil
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tankside import library
from tankside.claims.organism import Organism
from tankside.course import Course
from tankside.lifecycle import Histories, OfTwenty, Told, Windows, prepare, what_acts
from tankside.lifecycle.ending import EDGES, clear_at, lost
from tankside.lifecycle.weighted import quantiles, share
from tankside.plan import NO_TREATMENT, Progress
from tankside.records.case_file import read_case
from tankside.services.assemble import Assembled, assemble, chosen
from tankside.services.trials import set_up

HISTORIES = 256
"""Histories of each course: the standard error of a share is at most 0.031."""
DAY_H = 24
MIDDLE = 0.5


@dataclass(frozen=True, slots=True)
class Band:
    """A number on one day: low, middle and high of 18 in 20 runs."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class DayAhead:
    """What is foretold for one day.

    Args:
        day: day after hour 0.
        worst_visible: spots on the worst fish (what can be seen, not what is there).
        burden: parasites on all fish together.
        bottom: parasites on the bottom.
        swimmers: parasites in the water.
        alive: fish alive.
        clear: share of runs clear on that day with at least one fish alive.
    """

    day: int
    worst_visible: Band
    burden: Band
    bottom: Band
    swimmers: Band
    alive: Band
    clear: OfTwenty


@dataclass(frozen=True, slots=True)
class Ahead:
    """One course, day by day; ``acts`` is what reaches which stage in it, and what is unknown."""

    name: str
    days: tuple[DayAhead, ...]
    clear: OfTwenty
    lost_low: int
    lost_high: int
    stock: int
    acts: tuple[Told, ...] = ()


@dataclass(frozen=True, slots=True)
class Forecast:
    """The chosen course (when there is one) and no treatment."""

    case: Assembled
    organism: Organism
    windows: Windows
    ahead: tuple[Ahead, ...]
    seed: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of a forecast.

    Args:
        organism: organism id; None to take it from the case.
        seed: of chance; None to derive it from the case.
        histories: how many to play of each course.
    """

    organism: str | None = None
    seed: int | None = None
    histories: int = HISTORIES


def forecast(
    path: str | Path, asked: Question | None = None, progress: Progress | None = None
) -> Forecast:
    """Foretell the chosen course and no treatment from hour 0 of the course.

    Raises:
        BadInput: the case cannot be read.
        NotPossible: E-PLAN-03 no course chosen, E-FC-02 no life cycle with figures, E-DOSE-20
            something must be measured first.
    """
    asked = asked or Question()
    began = time.perf_counter()
    facts = library.load()
    view = read_case(path).view()
    picked = chosen(view)
    case = assemble(view, facts, picked.starts, at_start=True)
    trial = set_up(
        case,
        organism=asked.organism,
        seed=asked.seed,
        labels=picked.labels,
        start=picked.chosen_at or picked.starts,
        work=picked.starts,
    )
    days = picked.course.days + ceil(trial.situation.windows.cycle[2])
    courses = (
        Course(picked.name, days, picked.course.actions),
        Course(NO_TREATMENT, days, ()),
    )
    prepare(progress)
    found = []
    for number, course in enumerate(courses, 1):
        if progress is not None:
            progress(f"playing {course.name}", number, len(courses))
        compiled = trial.compile(trial.water(course))
        played = trial.play(compiled, 0, asked.histories)
        found.append(replace(_ahead(course.name, played), acts=what_acts(compiled)))
    seconds = time.perf_counter() - began
    windows = trial.situation.windows
    return Forecast(case, trial.organism, windows, tuple(found), trial.seed, seconds)


def _ahead(name: str, played: Histories) -> Ahead:
    weights = played.weights
    days = []
    for place, hour in enumerate(played.at_h):
        days.append(
            DayAhead(
                day=int(hour) // DAY_H,
                worst_visible=_band(played.worst_visible[:, place].max(axis=1), weights),
                burden=_band(played.burden[:, place].sum(axis=1), weights),
                bottom=_band(played.bottom[:, place], weights),
                swimmers=_band(played.swimmers[:, place], weights),
                alive=_band(played.alive[:, place].sum(axis=1), weights),
                clear=share(clear_at(played, place), weights),
            )
        )
    low, high = quantiles(lost(played), weights, EDGES)
    return Ahead(
        name,
        tuple(days),
        share(clear_at(played), weights),
        round(low),
        round(high),
        int(played.alive[0, 0].sum()),
    )


def _band(values: NDArray[np.int64], weights: NDArray[np.float64]) -> Band:
    return Band(*quantiles(values, weights, (EDGES[0], MIDDLE, EDGES[1])))
