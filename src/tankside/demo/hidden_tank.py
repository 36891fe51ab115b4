"""The tank of the story: one simulated history under the chosen course, seen only by its counts.

The keeper's counts cannot be written beforehand, because the practitioner's choice decides what
happens. So one history is drawn with luck of its own, among those that begin with the counts of
the first day; among these the story takes one that shows what it has to teach (an early zero,
few deaths, clear in the end). That the follow-up then fits proves nothing about real tanks, and
the story says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tankside.demo.script import ScriptedEntry
from tankside.intake.follow_setup import FollowRequest, course_from, follow_setup
from tankside.lifecycle import Histories
from tankside.lifecycle.results.observation_model import EYE, SCRAPE, seen_share
from tankside.quantity.per import HOURS_PER_DAY
from tankside.records.case_store import read_case

HISTORIES = 1536
LUCK_OF_ITS_OWN = 9001
"""Name of the round: no forecast and no follow-up plays it."""
EVENING_H = 18
FIRST_ZERO_FROM = 3
FIRST_ZERO_BEFORE = 11
"""A week after the last early visit: a zero before it tempts, since a week is always waited."""
FEW_DEATHS = 2
SOON = 5
"""Days within which spots that come back teach best."""
WORST, OTHERS = "platy", "danio"

Numbers = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class HiddenTank:
    """One history, looked at each evening.

    Args:
        worst: spots counted on the worst platy, by day.
        mean: spots counted per danio, by day.
        slides: platies with anything on a slide, of those looked at, by day.
        dead: dead fish up to each day, by group.
        clear_day: first day on which nothing was left; -1 when that never came.
    """

    worst: Numbers
    mean: NDArray[np.float64]
    slides: Numbers
    dead: dict[str, Numbers]
    clear_day: int

    def zero(self, day: int) -> bool:
        """Whether an eye saw nothing on that evening."""
        return bool(self.worst[day] == 0 and self.mean[day] == 0)

    @property
    def first_zero(self) -> int:
        """The first evening without a spot after the early days."""
        days = range(FIRST_ZERO_FROM, self.worst.size)
        return next((day for day in days if self.zero(day)), self.worst.size - 1)

    @property
    def seen_again(self) -> int | None:
        """The first evening after that zero with a spot; None when none came."""
        days = range(self.first_zero + 1, self.worst.size)
        return next((day for day in days if not self.zero(day)), None)

    def counts(self, day: int) -> tuple[ScriptedEntry, ...]:
        """Return what is counted by eye on an evening, as entries."""
        return (
            ScriptedEntry(
                "count", (f"spots={self.worst[day]}", "fish=worst platy", f"group={WORST}")
            ),
            ScriptedEntry("count", (f"spots=mean {self.mean[day]:.1f}", f"group={OTHERS}")),
        )

    def slide(self, day: int, fish: int) -> ScriptedEntry:
        """Return what skin scrapes of some platies show."""
        carrying = min(int(self.slides[day]), fish)
        words = (f"trophonts={carrying} of {fish}", "method=skin-scrape", f"group={WORST}")
        return ScriptedEntry("count", words)

    def deaths(self, since: int, day: int) -> tuple[ScriptedEntry, ...]:
        """Return the fish that died after one visit and up to another, as entries."""
        return tuple(
            ScriptedEntry("death", (str(number), f"group={group}"))
            for group, dead in self.dead.items()
            if (number := int(dead[day] - dead[since])) > 0
        )


def draw_tank(case: Path, first_worst: int, days: int, seed: int) -> HiddenTank:
    """Draw the tank of the story.

    Args:
        case: the case file, its course chosen and nothing entered after that.
        first_worst: spots on the worst platy on the first day.
        days: evenings to look at.
        seed: of the draws of what an eye counts.
    """
    setup = follow_setup(read_case(case).view(), FollowRequest())
    course = course_from(setup, days + 1, going_on=True)
    hours = tuple(day * HOURS_PER_DAY + EVENING_H for day in range(days))
    compiled = setup.trial.compile(setup.trial.water(course))
    played = setup.trial.play(compiled, LUCK_OF_ITS_OWN, HISTORIES, hours)
    chance = np.random.default_rng(seed)
    tanks = [_tank(played, number, chance) for number in range(HISTORIES)]
    return min(tanks, key=lambda tank: _strangeness(tank, first_worst))


def _tank(played: Histories, number: int, chance: np.random.Generator) -> HiddenTank:
    worst, others = (played.groups.index(name) for name in (WORST, OTHERS))
    by_eye, by_slide = (float(seen_share(played, how)[number]) for how in (EYE, SCRAPE))
    alive = played.alive[number]
    seen = chance.binomial(played.worst_visible[number, :, worst], by_eye)
    on_all = chance.binomial(played.visible[number, :, others], by_eye)
    carrying = played.infested[number, :, worst]
    load = played.burden[number, :, worst] / np.maximum(carrying, 1)
    slides = chance.binomial(carrying, 1 - (1 - min(by_slide, 1.0)) ** load)
    groups = {name: alive[0, at] - alive[:, at] for at, name in enumerate(played.groups)}
    return HiddenTank(
        np.asarray(seen),
        np.round(on_all / np.maximum(alive[:, others], 1), 1),
        np.asarray(slides),
        groups,
        int(played.clear_day[number]),
    )


def _strangeness(tank: HiddenTank, first_worst: int) -> tuple[int, int, float]:
    """Order tanks: clear with few deaths first, then an early zero seen through, then the start."""
    deaths = sum(int(dead[-1]) for dead in tank.dead.values())
    lost = tank.clear_day < 0 or deaths > FEW_DEATHS
    again = tank.seen_again
    soon = again is not None and again - tank.first_zero <= SOON
    taught = soon and again is not None and tank.mean[again] == 0 and tank.worst[again] > 0
    taught = taught and tank.first_zero < FIRST_ZERO_BEFORE
    off = abs(float(np.log((tank.worst[0] + 1) / (first_worst + 1))))
    far = off > float(np.log(2))
    return (int(lost) + int(far), int(not taught), off)
