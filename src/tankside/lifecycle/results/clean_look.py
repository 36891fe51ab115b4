"""What a look that finds nothing is worth: how often it happens, and how often it is the truth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tankside.claims import setting
from tankside.lifecycle.results.endpoints import clear_at
from tankside.lifecycle.results.first_passage import NEVER
from tankside.lifecycle.results.histories import Histories
from tankside.lifecycle.results.observation_model import chance_of_nothing
from tankside.lifecycle.results.of_twenty import OfTwenty
from tankside.lifecycle.results.weighted import share
from tankside.quantity.per import HOURS_PER_DAY

ENOUGH = setting(0.9, "18 of 20 runs: a judgement of what is enough, said wherever it is used")
_WORTH = setting(8.0, "fewer effective runs say nothing of a look that hardly ever happens")


@dataclass(frozen=True, slots=True)
class CleanLook:
    """A look at some fish at one moment that finds nothing.

    Args:
        hour: of the look.
        nothing: share of runs in which nothing is counted, of those in which such fish live.
        truly_clear: share of runs, of those in which nothing is counted, that are clear; None
            when that look is too rare to say.
    """

    hour: int
    nothing: OfTwenty
    truly_clear: OfTwenty | None


def clean_look(histories: Histories, hour: int, group: str, how: str, fish: int) -> CleanLook:
    """Return what it means when a look finds nothing.

    The chance of counting nothing is that of the observation layer, run by run; by Bayes' rule the
    runs that remain are weighed by it.

    Args:
        histories: as run.
        hour: of the look.
        group: whose fish are looked at.
        how: "spots" or "scrape".
        fish: how many are looked at.
    """
    chance = chance_of_nothing(histories, hour, group, how, fish)
    weights = histories.weights * chance
    moment = histories.moment(hour)
    truly = share(clear_at(histories, moment), weights)
    fish_live = histories.alive[:, moment, histories.groups.index(group)] > 0
    nothing = share(chance, histories.weights * fish_live)
    return CleanLook(hour, nothing, truly if truly.runs >= _WORTH else None)


def clean_looks(histories: Histories, group: str, how: str, fish: int) -> tuple[CleanLook, ...]:
    """Return the worth of a clean look at every moment looked at."""
    return tuple(clean_look(histories, int(h), group, how, fish) for h in histories.at_h)


def trusted_from(looks: tuple[CleanLook, ...], enough: float = ENOUGH) -> float:
    """Return the first day from which a clean look is the truth in enough runs [d].

    From that day on it stays so to the end; infinite when it never is.
    """
    good = np.asarray(
        [look.truly_clear is not None and look.truly_clear.share >= enough for look in looks]
    )
    to_the_end = np.logical_and.accumulate(good[::-1])[::-1]
    if not to_the_end.any():
        return NEVER
    return looks[int(np.argmax(to_the_end))].hour / HOURS_PER_DAY
