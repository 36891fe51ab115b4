"""The hours in which the new water that runs through a body all the time is shut."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np

from tankside.course.bodies.tank_hours import Hourly


def running(shut: Sequence[tuple[int, float]], hours: int) -> Hourly:
    """Return the share of each hour in which the inflow is open.

    Args:
        shut: elapsed hour and for how long [h] it was shut each time.
        hours: length of the course [h].
    """
    open_: Hourly = np.ones(hours)
    for at_h, for_h in shut:
        for hour in range(at_h, min(hours, at_h + ceil(for_h))):
            open_[hour] = min(open_[hour], max(0.0, hour + 1 - at_h - for_h))
    return open_
