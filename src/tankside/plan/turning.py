"""Where contradicting papers turn the choice: the best course on each side of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tankside.claims import Claim, setting, whole_setting
from tankside.lifecycle.results.rival_sides import RivalSide
from tankside.plan.racing import Losses

CLEARLY = setting(2.0, "standard errors of a paired difference that luck passes 1 time in 40")
LEAST_RUNS = whole_setting(8, "a side with fewer runs says nothing")


@dataclass(frozen=True, slots=True)
class BestOfSide:
    """The best course where one side of contradicting papers holds.

    Args:
        name: of the reading; "" for a claim.
        claim: the claim taken; None for a reading.
        best: place of the best course among those compared.
        runs: histories on this side.
    """

    name: str
    claim: Claim | None
    best: int
    runs: int


@dataclass(frozen=True, slots=True)
class Turning:
    """A key on which print disagrees so that the best course depends on who is right."""

    key: str
    sides: tuple[BestOfSide, ...]


def turnings(
    losses: Sequence[Losses], sides: Mapping[str, tuple[RivalSide, ...]]
) -> tuple[Turning, ...]:
    """Return the keys whose sides have different best courses, beyond luck.

    Args:
        losses: of each course, by history, all courses with the same draws; the best over all
            histories first.
        sides: from :func:`tankside.lifecycle.results.rival_sides.rival_sides`.
    """
    turned = []
    for key, among in sides.items():
        bests = [_best(losses, side) for side in among if side.rows.sum() >= LEAST_RUNS]
        if len({best.best for best in bests}) > 1:
            turned.append(Turning(key, tuple(bests)))
    return tuple(turned)


def _best(losses: Sequence[Losses], side: RivalSide) -> BestOfSide:
    """Return the best course of a side; the best of all unless another is clearly better here."""
    here = [loss[side.rows] for loss in losses]
    means = [float(loss.mean()) for loss in here]
    place = int(np.argmin(means))
    gain = here[0] - here[place]
    error = float(gain.std()) / np.sqrt(gain.size)
    if float(gain.mean()) <= CLEARLY * error:
        place = 0
    return BestOfSide(side.name, side.claim, place, int(side.rows.sum()))
