"""Which look of the coming days would narrow most what is not known: how many fish will be lost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting, whole_setting
from tankside.lifecycle.inputs.types import Floats
from tankside.lifecycle.results.endpoints import lost
from tankside.lifecycle.results.histories import Histories
from tankside.lifecycle.results.observation_model import DEATHS, EYE
from tankside.quantity.per import HOURS_PER_DAY

DAYS = (1, 2, whole_setting(3, "the next three days"))
_CLASSES = whole_setting(8, "classes into which a count is sorted")
_LEAST = setting(0.05, "a look that narrows by less is not named")


@dataclass(frozen=True, slots=True)
class NextLook:
    """A look of the coming days.

    Args:
        how: "spots", "scrape" or "deaths".
        day: of the look [d].
        narrows: part by which it narrows the spread of the losses (0 to 1).
    """

    how: str
    day: int
    narrows: float


def next_look(histories: Histories, group: str, how: str, fish: int) -> NextLook | None:
    """Return the look of the next three days that narrows the fish lost by the end most.

    The spread left once a count x is known is sqrt(E Var(lost | class of x)), with the freedom of
    the classes taken off; classes hold equal numbers of runs. What is counted is what is there to
    be counted: the scatter of a count by eye is left out, so every figure is an upper end.

    Args:
        histories: of the course that is followed, with the days looked at.
        group: whose fish are looked at.
        how: "spots" or "scrape".
        fish: how many are looked at.

    Returns:
        The look; None when none is worth naming.
    """
    at_h = histories.at_h.tolist()
    days = [day for day in DAYS if day * HOURS_PER_DAY in at_h]
    end = lost(histories).astype(np.float64)
    worth = []
    for day in days:
        moment = histories.moment(day * HOURS_PER_DAY)
        gone = (histories.alive[:, 0] - histories.alive[:, moment]).sum(axis=-1)
        counted = _counted(histories, moment, group, how, fish)
        worth += [NextLook(how, day, _narrows(counted, end))]
        worth += [NextLook(DEATHS, day, _narrows(gone.astype(np.float64), end))]
    best = max(worth, key=lambda look: look.narrows, default=None)
    return best if best is not None and best.narrows >= _LEAST else None


def _counted(histories: Histories, moment: int, group: str, how: str, fish: int) -> Floats:
    place = histories.groups.index(group)
    of_group = np.flatnonzero(histories.fish_group == place)[:fish]
    rows = histories.fish_visible if how == EYE else histories.fish_burden
    return np.asarray(rows[:, moment, of_group].sum(axis=-1), dtype=np.float64)


def _narrows(counted: Floats, end: Floats) -> float:
    """Return the part by which the spread of ``end`` shrinks once ``counted`` is known."""
    classes = _classes(counted)
    number = int(classes.max()) + 1
    if number < 2 or end.size <= number or end.var() <= 0:
        return 0.0
    sizes = np.bincount(classes, minlength=number)
    means = np.bincount(classes, weights=end, minlength=number) / sizes
    left = float(((end - means[classes]) ** 2).sum()) / (end.size - number)
    whole = float(end.var()) * end.size / (end.size - 1)
    return max(0.0, 1 - float(np.sqrt(left / whole)))


def _classes(counted: Floats) -> NDArray[np.int64]:
    """Sort a count into classes of about equal size, equal counts together."""
    edges = np.unique(np.quantile(counted, np.arange(1, _CLASSES) / _CLASSES))
    _, classes = np.unique(np.searchsorted(edges, counted, side="left"), return_inverse=True)
    return np.asarray(classes, dtype=np.int64)
