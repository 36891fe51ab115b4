"""An invented tank to try courses on: it is made in memory, played, and never becomes a case."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.course import Course
from tankside.course.actions import Air, SaltTo, Siphon, salt_steps
from tankside.course.actions.action import Action
from tankside.course.actions.course import DayLine
from tankside.course.bodies.caution import Caution
from tankside.errors import BadInput
from tankside.intake.assemble import assemble
from tankside.intake.labels import read_labels
from tankside.intake.teaching_tank import teaching_view
from tankside.intake.trial_setup import set_up
from tankside.library import load
from tankside.lifecycle import StageDurations, prepare
from tankside.lifecycle.results.endpoints import lost
from tankside.lifecycle.results.observation_model import way_of_looking
from tankside.lifecycle.results.outcome import DayOutcome, Quantiles, daily, spread
from tankside.plan import Trial
from tankside.quantity.moment import Moment
from tankside.quantity.per import HOURS_PER_DAY

ORGANISM = "ichthyophthirius_multifiliis"
GROUP, FISH, DAYS = "platy", 12, 32
"""The invented tank of 120 L: its fish, and how long it is played [d]."""
SPOTS = 8
FIRST_H, SALT_DAYS, SIPHON_FROM_D, SIPHON_L = 18, 3, 1, 24
MISSED_FROM_D = 6
"""The day on which a keeper who misses some begins to miss them."""
ROUGH_RUNS, FINE_RUNS = 64, 512
SEED = 19
OPENED = "2026-01-05T08:00+00:00"
LIMITS = {
    "temperature_c": (12.0, 30.0),
    "salt_g_l": (0.0, 3.0),
    "every_d": (1.0, 7.0),
    "missed_d": (0.0, 14.0),
}
"""What can be set, from the least to the most."""


@dataclass(frozen=True, slots=True)
class TryOut:
    """What is set on the invented tank.

    Args:
        temperature_c: of the water [C].
        salt_g_l: salt reached in three daily steps and then held [g/L]; 0 for none.
        every_d: days between two siphonings of the bottom, each with a fifth of the water [d].
        missed_d: days on which nothing is done, from the sixth on [d].
    """

    temperature_c: float = 25.0
    salt_g_l: float = 2.0
    every_d: float = 2.0
    missed_d: float = 0.0


@dataclass(frozen=True, slots=True)
class TriedOut:
    """What came of it.

    Args:
        asked: what was set.
        runs: how many histories were played.
        days: every day looked at.
        durations: how long the stages last at this temperature.
        lost: fish lost by the end.
        fish: fish at the start.
        siphoned_d: days on which the bottom is siphoned [d].
        eye: how the parasite is counted.
        cautions: what speaks against the course or for care with it, each once.
        steps: what is weighed out, as a day card would say it.
    """

    asked: TryOut
    runs: int
    days: tuple[DayOutcome, ...]
    durations: StageDurations
    lost: Quantiles
    fish: int
    siphoned_d: tuple[int, ...]
    eye: str
    cautions: tuple[Caution, ...]
    steps: tuple[DayLine, ...]


def try_out(asked: TryOut, runs: int = ROUGH_RUNS) -> TriedOut:
    """Play the invented tank as it is set.

    Args:
        asked: what is set.
        runs: histories; 64 give a rough answer, 512 a fine one.

    Raises:
        BadInput: E-LEARN-02 something is set beyond what the tank is made for.
    """
    _check(asked)
    prepare()
    trial, course = _trial(asked)
    water = trial.water(course)
    played = trial.play(trial.compile(water), 0, runs)
    how = way_of_looking(trial.organism)
    return TriedOut(
        asked=asked,
        runs=runs,
        days=daily(played, how),
        durations=trial.situation.stage_durations,
        lost=spread(lost(played), played.weights),
        fish=FISH,
        siphoned_d=_siphoned(asked),
        eye=how,
        cautions=tuple({caution.code: caution for caution in water.safety}.values()),
        steps=tuple(line for line in water.lines if line.action in _salted(course)),
    )


def _salted(course: Course) -> frozenset[int]:
    """Return the places of the steps that weigh out salt."""
    return frozenset(n for n, step in enumerate(course.actions) if isinstance(step, SaltTo))


def _check(asked: TryOut) -> None:
    for name, (least, most) in LIMITS.items():
        value = getattr(asked, name)
        if not least <= value <= most or (name.endswith("_d") and value != round(value)):
            raise BadInput(
                "E-LEARN-02",
                "The invented tank cannot be set to that.",
                given=f"{value:g}",
                needed=f"{least:g} to {most:g}",
                next_step="Move the slider to another place.",
                field=name,
            )


def _siphoned(asked: TryOut) -> tuple[int, ...]:
    """Return the days on which the bottom is siphoned, those that are missed left out."""
    missed = range(MISSED_FROM_D, MISSED_FROM_D + int(asked.missed_d))
    days = range(SIPHON_FROM_D, DAYS, int(asked.every_d))
    return tuple(day for day in days if day not in missed)


def _trial(asked: TryOut) -> tuple[Trial, Course]:
    facts = load()
    view = teaching_view(facts, asked.temperature_c, GROUP, FISH, SPOTS, OPENED)
    begins = Moment(OPENED)
    zero = Moment(f"{OPENED[:10]}T00:00+00:00")
    actions: list[Action] = [Air(FIRST_H, "main", True)]
    if asked.salt_g_l:
        actions += salt_steps(FIRST_H, "main", asked.salt_g_l, SALT_DAYS, int(HOURS_PER_DAY))
    actions += [
        Siphon(FIRST_H + int(HOURS_PER_DAY) * day, "main", SIPHON_L) for day in _siphoned(asked)
    ]
    course = Course("tried", DAYS, tuple(actions))
    case = assemble(view, facts, zero, at_start=True, placed=begins, followed=course)
    labels = read_labels(facts, ["sodium_chloride=pure"], "1 g", None)
    trial = set_up(
        case, organism=ORGANISM, seed=SEED, labels=labels, start=begins, work=begins
    )  # fmt: skip
    return trial, case.lived(course)
