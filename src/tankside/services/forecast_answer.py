"""What a forecast answers: each course day by day, dates, what was sampled, where advice turns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from tankside.claims.organism import Organism
from tankside.follow import NotBefore
from tankside.intake.assemble import Assembled
from tankside.intake.forecast_setup import NOON_H, Followed
from tankside.lifecycle import ActiveFactor, StageDurations
from tankside.lifecycle.inputs.forcing import death_law
from tankside.lifecycle.results.clean_look import CleanLook
from tankside.lifecycle.results.first_passage import FirstPassage
from tankside.lifecycle.results.next_look import NextLook
from tankside.lifecycle.results.observation_model import EYE
from tankside.lifecycle.results.of_twenty import OfTwenty
from tankside.lifecycle.results.outcome import DayOutcome, Quantiles
from tankside.lifecycle.results.sensitivity import Sensitivity
from tankside.quantity.per import HOURS_PER_DAY
from tankside.services.forecast_sampled import SampledRow
from tankside.services.forecast_sweep import Swept


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
        next_look: the look of the next three days that narrows the losses most; None for none.
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
    next_look: NextLook | None

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
        no_dose: groups of fish of kinds for which no print gives deaths by dose.
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
    no_dose: tuple[str, ...]
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

    @property
    def losses_known(self) -> bool:
        """Whether print says what share of these fish dies; else only when they would die."""
        return self.deaths and not self.no_dose

    def day_at(self, day: float) -> date:
        """Return the calendar day at the tank on which a day of the forecast falls.

        A whole day stands for the calendar day of its noon, so that days stay one by one when the
        clocks change.
        """
        noon = NOON_H if float(day).is_integer() else 0
        return self.case.day_at(day * HOURS_PER_DAY + noon)
