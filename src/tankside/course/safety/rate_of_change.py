"""How much a quantity of the water rises within a day, what was there before included."""

from __future__ import annotations

import numpy as np

from tankside.course.bodies.tank_hours import Hourly
from tankside.quantity.per import HOURS_PER_DAY


def rise_in_a_day(series: Hourly, before: float) -> Hourly:
    """Return the rise of a series over the 24 h before each hour.

    Args:
        series: hourly values, each after the steps of its hour.
        before: what was there before hour 0, so that a step at hour 0 counts like any other.
    """
    day = HOURS_PER_DAY
    padded = np.concatenate([np.full(day, before), series])
    rise: Hourly = series - padded[: series.size]
    return rise
