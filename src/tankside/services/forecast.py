"""Forecast: the chosen course, water only and no treatment, all under the same luck."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from tankside import library
from tankside.course.bodies.tank_hours import TankHours
from tankside.intake.forecast_setup import (
    ForecastRequest,
    ForecastSetup,
    forecast_setup,
)
from tankside.intake.stop_date import stop_date
from tankside.intake.trial_setup import looks_of
from tankside.lifecycle import (
    Compiled,
    Histories,
    active_factors,
    prepare,
)
from tankside.lifecycle.inputs.forcing import death_law
from tankside.lifecycle.results.clean_look import clean_looks, trusted_from
from tankside.lifecycle.results.endpoints import clear_at, lost
from tankside.lifecycle.results.first_passage import (
    clear_when_seen_free,
    day_of_clearance,
    first_passages,
)
from tankside.lifecycle.results.next_look import next_look
from tankside.lifecycle.results.observation_model import EYE, way_of_looking
from tankside.lifecycle.results.outcome import DayOutcome, daily, spread, twenty_runs
from tankside.lifecycle.results.rival_sides import agreed_share, rival_sides
from tankside.lifecycle.results.sensitivity import (
    WATER,
    columns_in_use,
    sensitivities,
    volumes,
)
from tankside.lifecycle.results.sweep import last_dose_day, treated_until
from tankside.lifecycle.running import allot
from tankside.plan import Progress
from tankside.quantity.per import HOURS_PER_DAY
from tankside.records.case_store import read_case
from tankside.services.forecast_answer import CourseForecast, ForecastAnswer, SampledWater
from tankside.services.forecast_sampled import sampled_rows
from tankside.services.forecast_sweep import Swept, sweep_claims


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
    stage_durations = trial.situation.stage_durations
    strata = compiled.tank_hours.strata
    weight = sum(stratum.weight for stratum in strata)
    return ForecastAnswer(
        case=case,
        organism=trial.organism,
        stage_durations=stage_durations,
        not_before=stop_date(
            looks_of(case, trial.organism), stage_durations, case.view.last_moment().day
        ),
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
        no_dose=tuple(host.id for host in trial.hosts if not host.dose_known),
        seed=trial.seed,
        seconds=time.perf_counter() - began,
    )


def _days(played: Histories, how: str, compiled: Compiled) -> tuple[DayOutcome, ...]:
    """Return every day; the last is said to be clear for sure only where papers agree on it."""
    *before, last = daily(played, how)
    sides = rival_sides(compiled.organism, played.draws, len(played.weights))
    clear = agreed_share(clear_at(played), played.weights, sides)
    return (*before, replace(last, clear=clear))


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
        days=_days(played, how, compiled),
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
        moves_clearance=sensitivities(columns, day_of_clearance(played), weights),
        moves_losses=sensitivities(columns, lost(played), weights) if deaths else (),
        factors=active_factors(compiled),
        next_look=next_look(played, setup.group, how, setup.look_fish) if deaths else None,
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
