"""Temperature of one body: its target with ramps, its daily swing, and changes of water."""

from __future__ import annotations

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.course.bodies.effects import Warmed
from tankside.course.bodies.hours import clock
from tankside.course.bodies.system import System
from tankside.course.bodies.tank_hours import Hourly
from tankside.quantity.per import HOURS_PER_DAY

_WARMEST_HOUR = whole_setting(16, "a room is warmest in the afternoon; only the phase")
_TURN = 2 * np.pi


def target_c(start_c: float, ramps: list[tuple[int, Warmed]], hours: int) -> Hourly:
    """Return the temperature the heater is led along [C], before the daily swing.

    Each ramp starts from wherever the last one has got to and moves at its rate a day.
    """
    target = np.full(hours, start_c)
    for hour, ramp in ramps:
        start = target[hour]
        elapsed_d = np.arange(hours - hour) / HOURS_PER_DAY
        way = np.minimum(abs(ramp.per_day_c) * elapsed_d, abs(ramp.to_c - start))
        target[hour:] = start + np.sign(ramp.to_c - start) * way
    return target


def swing_c(system: System, hours: int) -> Hourly:
    """Return the daily swing about the mean [C], zero on average over a day.

    With mean m, lowest l and highest h: ``a sin x - c cos 2x``, a = (h - l) / 2 and
    c = (h + l) / 2 - m, which reaches h - m and l - m at its extremes while |a| >= 4 |c|.
    Zero when no range was logged.
    """
    low, mean, high = system.temperature_low_c, system.temperature_c, system.temperature_high_c
    if low is None or mean is None or high is None:
        return np.zeros(hours)
    quarter = HOURS_PER_DAY / (2 + 2)
    angle = _TURN * (clock(hours) - _WARMEST_HOUR + quarter) / HOURS_PER_DAY
    half = (high - low) / 2
    lean = (high + low) / 2 - mean
    wave: Hourly = half * np.sin(angle) - lean * np.cos(2 * angle)
    return wave


RETURN_PER_H = setting(0.2, "share of a deviation that heater and room take back in an hour")
