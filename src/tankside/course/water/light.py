"""Hours of light at a body of water."""

from __future__ import annotations

import numpy as np

from tankside.claims import whole_setting
from tankside.course.bodies.hours import clock, stepped
from tankside.course.bodies.system import System
from tankside.course.bodies.tank_hours import Hourly
from tankside.quantity.per import HOURS_PER_DAY

_NOON = whole_setting(12, "light set in hours a day is centred on noon; only the phase")
_DAY_ON = whole_setting(8, "daylight in a room where nobody has said when lights go on")
_DAY_OFF = whole_setting(20, "daylight in a room where nobody has said when lights go off")


def light(system: System, changes: list[tuple[int, float]], hours: int) -> Hourly:
    """Return 1 in hours with light and 0 in dark ones.

    Args:
        system: its ``lights_on_hour`` and ``lights_off_hour`` when known, else daylight.
        changes: (hour, hours of light a day) from there on.
        hours: length of the course [h].
    """
    of_day = clock(hours)
    on = _DAY_ON if system.lights_on_hour is None else system.lights_on_hour
    off = _DAY_OFF if system.lights_off_hour is None else system.lights_off_hour
    lit = (of_day - on) % HOURS_PER_DAY < (off - on) % HOURS_PER_DAY
    series = lit.astype(np.float64)
    if changes:
        length = stepped(-1.0, changes, hours)
        from_noon = abs(of_day + 1 / 2 - _NOON)
        series = np.where(length < 0, series, (from_noon < length / 2).astype(np.float64))
    return series
