"""How a history stands: clear with fish alive, parasites left, or no fish left; fish lost."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting
from tankside.lifecycle.inputs.types import Counts, Flags
from tankside.lifecycle.results.histories import Histories

LAST = -1
"""The last moment looked at."""
EDGES = (
    setting(0.05, "19 of 20 runs lie above the low end"),
    setting(0.95, "19 of 20 runs lie below the high end"),
)
_USEFUL = setting(0.6, "an interval wider than 60 % of the stock tells nothing useful")
_USEFUL_TIMES = setting(3.0, "a date known no better than within a factor of three is no date")


def living(histories: Histories, moment: int = LAST) -> Flags:
    """Return for each history whether at least one fish is alive at a moment."""
    alive: Flags = histories.alive[:, moment].sum(axis=-1) > 0
    return alive


def clear_at(histories: Histories, moment: int = LAST) -> Flags:
    """Return for each history whether it is clear at a moment with at least one fish alive.

    Clear: nothing on a live fish, nothing on the bottom, nothing in the water.
    """
    flags: Flags = histories.clear[:, moment] & living(histories, moment)
    return flags


def left_at(histories: Histories, moment: int = LAST) -> Flags:
    """Return for each history whether fish live and parasites are left at a moment."""
    flags: Flags = ~histories.clear[:, moment] & living(histories, moment)
    return flags


def lost(histories: Histories, moment: int = LAST) -> Counts:
    """Return the fish lost in each history from the first moment looked at to this one."""
    gone: NDArray[np.int64] = (histories.alive[:, 0] - histories.alive[:, moment]).sum(axis=-1)
    return gone


def useful(low: float, high: float, stock: int) -> bool:
    """Return whether an interval of fish is narrow enough, against the stock, to be shown."""
    return high - low <= _USEFUL * max(stock, 1)


def useful_time(low: float, high: float) -> bool:
    """Return whether an interval of time is narrow enough to be shown: at most threefold.

    A moment is known to the step of looking only (a day), so an interval of one step passes.

    Args:
        low: low end [d].
        high: high end [d]; infinite when it may never come.
    """
    return high - low <= 1 or high <= _USEFUL_TIMES * low
