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
from tankside.intake.forecast_setup import NOON_H, Followed, Question, Scene, scene_of
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
from tankside.lifecycle.results.outcome import DayOutcome, Quantiles, daily, spread, twenty_runs
from tankside.lifecycle.results.sensitivity import (
    WATER,
    Sensitivity,
    columns_in_use,
    sensitivities,
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
class Water:
    """One of the few combinations of uncertain water that many runs share."""

    name: str
    weight: float
    litres: float


@dataclass(frozen=True, slots=True)
class Ahead:
    """One course.

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
    lost: Quantiles
    lost_by_group: Mapping[str, Quantiles]
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
class Forecast:
    """The followed course first, no treatment last.

    Args:
        case: the assembled case.
        organism: the parasite.
        stage_durations: how long its stages last here.
        not_before: the date that counts and print give.
        followed: the course that was chosen, or the one that stands for it.
        ahead: one for each course.
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
    ahead: tuple[Ahead, ...]
    how: str
    group: str
    look_fish: int
    runs: int
    water: tuple[Water, ...]
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
    path: str | Path, asked: Question | None = None, progress: Progress | None = None
) -> Forecast:
    """Foretell the chosen course, water only and no treatment from hour 0 of the course.

    Where no course was chosen yet, water only stands in its place, from the latest day on.

    Raises:
        BadInput: the case cannot be read; E-FC-01 a number of runs that cannot be run; E-FC-03 a
            course or claim of that name is not known.
        NotPossible: E-FC-02 no life cycle with figures, E-DOSE-20 something must be measured
            first.
    """
    asked = asked or Question()
    began = time.perf_counter()
    scene = scene_of(read_case(path).view(), library.load(), asked)
    prepare(progress)
    found, compiled = [], []
    for number, course in enumerate(scene.courses, 1):
        if progress is not None:
            progress(f"playing {course.name}", number, len(scene.courses))
        compiled.append(scene.trial.compile(scene.trial.water(course)))
        played = scene.trial.play(compiled[-1], 0, asked.runs)
        found.append(_ahead(course.name, played, compiled[-1], scene))
    followed = found[0]
    swept = sweep_claims(
        scene, compiled, followed.moves_clearance, asked, followed.treated_until, progress
    )
    return _gathered(scene, compiled[0], found, swept, asked, began)


def _gathered(
    scene: Scene,
    compiled: Compiled,
    found: list[Ahead],
    swept: tuple[Swept, ...],
    asked: Question,
    began: float,
) -> Forecast:
    case, trial = scene.case, scene.trial
    first = case.view.opened.moment.day
    today = (case.view.last_moment().day - first).days
    stage_durations = trial.situation.stage_durations
    strata = compiled.tank_hours.strata
    weight = sum(stratum.weight for stratum in strata)
    return Forecast(
        case=case,
        organism=trial.organism,
        stage_durations=stage_durations,
        not_before=not_before(looks(case.view, midnight(case.view, first)), stage_durations, today),
        followed=scene.followed,
        ahead=tuple(found),
        how=way_of_looking(trial.organism),
        group=scene.group,
        look_fish=scene.look_fish,
        runs=asked.runs,
        water=tuple(
            Water(s.name, s.weight / weight, sum(b.volume_l for b in s.bodies)) for s in strata
        ),
        sampled=sampled_rows(scene, compiled),
        swept=swept,
        seed=trial.seed,
        seconds=time.perf_counter() - began,
    )


def _ahead(name: str, played: Histories, compiled: Compiled, scene: Scene) -> Ahead:
    how, weights = way_of_looking(compiled.organism), played.weights
    deaths = death_law(compiled.organism) > 0
    seen = clean_looks(played, scene.group, how, scene.look_fish)
    columns = columns_in_use(compiled, played)
    share = [stratum.weight for stratum in compiled.tank_hours.strata]
    columns[WATER] = volumes(compiled, allot(np.asarray(share), weights.size))
    gone = {g: played.alive[:, 0, k] - played.alive[:, -1, k] for k, g in enumerate(played.groups)}
    return Ahead(
        name=name,
        days=daily(played, how),
        first_passages=first_passages(played, spots=how == EYE, deaths=deaths),
        looks=seen,
        trusted_from=trusted_from(seen),
        seen_free_clear=clear_when_seen_free(played) if how == EYE else None,
        clear_days=twenty_runs(day_of_clearance(played), weights),
        lost=spread(lost(played), weights),
        lost_by_group={group: spread(number, weights) for group, number in gone.items()},
        stock=_stock(scene),
        last_dose=last_dose_day(played),
        treated_until=_treated_until(compiled.tank_hours),
        moves_clearance=sensitivities(columns, day_of_clearance(played), weights),
        moves_losses=sensitivities(columns, lost(played), weights) if deaths else (),
        factors=active_factors(compiled),
    )


def _stock(scene: Scene) -> dict[str, int]:
    return {host.id: host.count for host in scene.case.hosts}


def _treated_until(hours: TankHours) -> float:
    """Return the last day on which any agent is at nine tenths of its highest strength."""
    ends = [
        treated_until(strength)
        for stratum in hours.strata
        for body in stratum.bodies
        for strength in body.residue_high_mg_l.values()
    ]
    return max(ends, default=0.0) / HOURS_PER_DAY
