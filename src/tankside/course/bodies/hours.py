"""Hour arrays: values that step at given hours, and the hour of the day."""

from __future__ import annotations

import numpy as np

from tankside.course.bodies.tank_hours import Hourly
from tankside.quantity.per import HOURS_PER_DAY


def stepped(start: float, changes: list[tuple[int, float]], hours: int) -> Hourly:
    """Return an hourly array that holds ``start`` until each (hour, value) in turn."""
    series = np.full(hours, start)
    for hour, value in changes:
        series[hour:] = value
    return series


def clock(hours: int) -> Hourly:
    """Return the hour of the day (0 to 23) of each hour of the course."""
    return np.arange(hours, dtype=np.float64) % HOURS_PER_DAY
