"""Forecast: the chosen course, water only and no treatment, all under the same luck."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np

from tankside import library
from tankside.claims.organism import Organism
from tankside.course.bodies.tank_hours import TankHours
from tankside.follow import NotBefore, not_before
from tankside.intake.assemble import Assembled, midnight
from tankside.intake.counts import looks
from tankside.intake.forecast_setup import (
    NOON_H,
    Followed,
    ForecastRequest,
    ForecastSetup,
    forecast_setup,
)
from tankside.lifecycle import (
    ActiveFactor,
    Compiled,
    Histories,
    StageDurations,
    active_factors,
    prepare,
)
from tankside.lifecycle.inputs.forcing import death_law
from tankside.lifecycle.results.clean_look import CleanLook, clean_looks, trusted_from
from tankside.lifecycle.results.endpoints import lost
from tankside.lifecycle.results.first_passage import (
    FirstPassage,
    clear_when_seen_free,
    day_of_clearance,
    first_passages,
)
from tankside.lifecycle.results.observation_model import EYE, way_of_looking
from tankside.lifecycle.results.of_twenty import OfTwenty
from tankside.lifecycle.results.outcome import DayOutcome, Spread, daily, spread, twenty_runs
from tankside.lifecycle.results.sensitivity import (
    WATER,
    Sensitivity,
    columns_in_use,
    influences,
    volumes,
)
from tankside.lifecycle.results.sweep import last_dose_day, treated_until
from tankside.lifecycle.running import allot
from tankside.plan import Progress
from tankside.quantity.per import HOURS_PER_DAY
from tankside.records.case_file import read_case
from tankside.services.forecast_sampled import SampledRow, sampled_rows
from tankside.services.forecast_sweep import Swept, sweep_claims


@dataclass(frozen=True, slots=True)
class SampledWater:
    """One of the few combinations of uncertain water that many runs share."""

    name: str
    weight: float
    litres: float


@dataclass(frozen=True, slots=True)
class CourseForecast:
    """What is foretold of one course.

    Args:
        name: of the course.
        days: every day looked at.
        first_passages: when things first happen.
        looks: what a clean look is worth, every day.
        trusted_from: first day from which a clean look is the truth in enough runs [d].
        seen_free_clear: share of runs that are clear on the day the spots go; None without spots.
        clear_days: the day of clearance of 20 runs that stand for all, infinite for not clear.
        lost: fish lost by the end.
        lost_by_group: the same by group.
        stock: fish at the start, by group.
        last_dose: first day by which enough of the runs with fish are clear for good [d].
        treated_until: last day on which an agent is at nine tenths of its highest strength [d].
        moves_clearance: sampled values by how they go with the day of clearance.
        moves_losses: the same with the fish lost.
        factors: what acts on which stage, and what is not known.
    """

    name: str
    days: tuple[DayOutcome, ...]
    first_passages: tuple[FirstPassage, ...]
    looks: tuple[CleanLook, ...]
    trusted_from: float
    seen_free_clear: OfTwenty | None
    clear_days: tuple[float, ...]
    lost: Spread
    lost_by_group: Mapping[str, Spread]
    stock: Mapping[str, int]
    last_dose: float
    treated_until: float
    moves_clearance: tuple[Sensitivity, ...]
    moves_losses: tuple[Sensitivity, ...]
    factors: tuple[ActiveFactor, ...]

    @property
    def end(self) -> DayOutcome:
        """The last day looked at."""
        return self.days[-1]

    @property
    def fish(self) -> int:
        """Fish at the start, all groups together."""
        return sum(self.stock.values())


@dataclass(frozen=True, slots=True)
class ForecastAnswer:
    """The whole answer.

    Args:
        case: the assembled case.
        organism: the parasite.
        stage_durations: how long its stages last here.
        not_before: the date that counts and print give.
        followed: the course that was chosen, or the one that stands for it.
        courses: one for each course, the followed one first, no treatment last.
        how: "spots" or "scrape", how the parasite is counted.
        group: whose fish are looked at.
        look_fish: how many.
        runs: histories of each course.
        water: combinations of uncertain water.
        sampled: everything that differs between runs, with range and source.
        swept: what each held claim does to the advice.
        seed: of chance.
        seconds: taken.
    """

    case: Assembled
    organism: Organism
    stage_durations: StageDurations
    not_before: NotBefore
    followed: Followed
    courses: tuple[CourseForecast, ...]
    how: str
    group: str
    look_fish: int
    runs: int
    water: tuple[SampledWater, ...]
    sampled: tuple[SampledRow, ...]
    swept: tuple[Swept, ...]
    seed: int
    seconds: float

    @property
    def spots(self) -> bool:
        """Whether the parasite is seen by eye."""
        return self.how == EYE

    @property
    def deaths(self) -> bool:
        """Whether figures say what kills a fish; else nothing is said of deaths."""
        return death_law(self.organism) > 0

    def day_at(self, day: float) -> date:
        """Return the calendar day at the tank on which a day of the forecast falls.

        A whole day stands for the calendar day of its noon, so that days stay one by one when the
        clocks change.
        """
        noon = NOON_H if float(day).is_integer() else 0
        return self.case.day_at(day * HOURS_PER_DAY + noon)


def forecast(
    path: str | Path, request: ForecastRequest | None = None, progress: Progress | None = None
) -> ForecastAnswer:
    """Foretell the chosen course, water only and no treatment from hour 0 of the course.

    Where no course was chosen yet, water only stands in its place, from the latest day on.

    Raises:
        BadInput: the case cannot be read; E-FC-01 a number of runs that cannot be run; E-FC-03 a
            course or claim of that name is not known.
        NotPossible: E-FC-02 no life cycle with figures, E-DOSE-20 something must be measured
            first.
    """
    request = request or ForecastRequest()
    began = time.perf_counter()
    setup = forecast_setup(read_case(path).view(), library.load(), request)
    prepare(progress)
    courses, compiled = [], []
    for number, course in enumerate(setup.courses, 1):
        if progress is not None:
            progress(f"playing {course.name}", number, len(setup.courses))
        compiled.append(setup.trial.compile(setup.trial.water(course)))
        played = setup.trial.play(compiled[-1], 0, request.runs)
        courses.append(_course_forecast(course.name, played, compiled[-1], setup))
    followed = courses[0]
    swept = sweep_claims(
        setup, compiled, followed.moves_clearance, request, followed.treated_until, progress
    )
    return _gathered(setup, compiled[0], courses, swept, request, began)


def _gathered(
    setup: ForecastSetup,
    compiled: Compiled,
    courses: list[CourseForecast],
    swept: tuple[Swept, ...],
    request: ForecastRequest,
    began: float,
) -> ForecastAnswer:
    case, trial = setup.case, setup.trial
    first = case.view.opened.moment.day
    today = (case.view.last_moment().day - first).days
    stage_durations = trial.situation.stage_durations
    strata = compiled.tank_hours.strata
    weight = sum(stratum.weight for stratum in strata)
    return ForecastAnswer(
        case=case,
        organism=trial.organism,
        stage_durations=stage_durations,
        not_before=not_before(looks(case.view, midnight(case.view, first)), stage_durations, today),
        followed=setup.followed,
        courses=tuple(courses),
        how=way_of_looking(trial.organism),
        group=setup.group,
        look_fish=setup.look_fish,
        runs=request.runs,
        water=tuple(
            SampledWater(s.name, s.weight / weight, sum(b.volume_l for b in s.bodies))
            for s in strata
        ),
        sampled=sampled_rows(setup, compiled),
        swept=swept,
        seed=trial.seed,
        seconds=time.perf_counter() - began,
    )


def _course_forecast(
    name: str, played: Histories, compiled: Compiled, setup: ForecastSetup
) -> CourseForecast:
    how, weights = way_of_looking(compiled.organism), played.weights
    deaths = death_law(compiled.organism) > 0
    seen = clean_looks(played, setup.group, how, setup.look_fish)
    columns = columns_in_use(compiled, played)
    share = [stratum.weight for stratum in compiled.tank_hours.strata]
    columns[WATER] = volumes(compiled, allot(np.asarray(share), weights.size))
    gone = {g: played.alive[:, 0, k] - played.alive[:, -1, k] for k, g in enumerate(played.groups)}
    return CourseForecast(
        name=name,
        days=daily(played, how),
        first_passages=first_passages(played, spots=how == EYE, deaths=deaths),
        looks=seen,
        trusted_from=trusted_from(seen),
        seen_free_clear=clear_when_seen_free(played) if how == EYE else None,
        clear_days=twenty_runs(day_of_clearance(played), weights),
        lost=spread(lost(played), weights),
        lost_by_group={group: spread(number, weights) for group, number in gone.items()},
        stock=_stock(setup),
        last_dose=last_dose_day(played),
        treated_until=_treated_until(compiled.tank_hours),
        moves_clearance=influences(columns, day_of_clearance(played), weights),
        moves_losses=influences(columns, lost(played), weights) if deaths else (),
        factors=active_factors(compiled),
    )


def _stock(setup: ForecastSetup) -> dict[str, int]:
    return {host.id: host.count for host in setup.case.hosts}


def _treated_until(hours: TankHours) -> float:
    """Return the last day on which any agent is at nine tenths of its highest strength."""
    ends = [
        treated_until(strength)
        for stratum in hours.strata
        for body in stratum.bodies
        for strength in body.residue_high_mg_l.values()
    ]
    return max(ends, default=0.0) / HOURS_PER_DAY
