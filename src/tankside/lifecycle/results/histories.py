"""What happened in each of many histories, at each moment looked at."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.lifecycle.inputs.types import Counts, Draws, Flags, Floats
from tankside.quantity.per import HOURS_PER_DAY


@dataclass(frozen=True, slots=True)
class Histories:
    """What happened in each history, at each moment looked at.

    Shapes: R histories, D moments (``at_h``, hours since hour 0; by default one per day, the
    first at hour 0), G groups, F watched fish (the first few of each group). ``clear`` is true
    when no live fish carries any and none is on the bottom or in the water. ``clear_day`` is the
    first day from which that holds to the end, -1 when it never does. ``dispersion`` is the
    negative binomial size of counts when it is not drawn; ``work`` counts settlings, bottom
    entries, swimmers that settle and hours played, (R, 4).
    """

    at_h: NDArray[np.int64]
    groups: tuple[str, ...]
    burden: Counts
    visible: Counts
    worst_visible: Counts
    infested: Counts
    alive: Counts
    bottom: Counts
    swimmers: Counts
    clear: Flags
    clear_day: Counts
    weights: Floats
    fish_group: NDArray[np.int64]
    fish_burden: NDArray[np.int32]
    fish_visible: NDArray[np.int32]
    fish_alive: Flags
    draws: Draws
    work: Counts
    dispersion: float = 1.0

    @property
    def days(self) -> Floats:
        """Moments looked at, in days since hour 0."""
        return self.at_h / HOURS_PER_DAY

    def moment(self, hour: int) -> int:
        """Return the index of the last moment looked at that is not after this hour."""
        return int(np.searchsorted(self.at_h, hour, side="right")) - 1
