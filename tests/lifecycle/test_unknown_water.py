"""Water that nobody measured takes warmth and salt from the water the fish come from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from tests.lifecycle.tanks import body, play, start, tank_hours, white_spot

from tankside.course.bodies.tank_hours import TankHours
from tankside.lifecycle.inputs.unknown_water import as_in, unmeasured

HOURS = 480
BOTH = {"fish": np.r_[np.zeros(6), np.ones(HOURS - 6)].astype(np.int16)}


def moved() -> TankHours:
    cold = np.full(HOURS, np.nan)
    box = replace(body("box", HOURS), temperature_c=cold, salinity_g_l=cold)
    return tank_hours(body("main", HOURS, warm=24.0, salt=0.5), box, where=BOTH)


def test_only_what_is_not_known_is_taken_over() -> None:
    hours = moved()
    assert unmeasured(hours) == ("box",)
    filled = as_in(hours, "main")
    assert unmeasured(filled) == ()
    box = filled.strata[0].bodies[1]
    assert (box.temperature_c == 24.0).all()
    assert (box.salinity_g_l == 0.5).all()
    assert box.volume_l == hours.strata[0].bodies[1].volume_l
    measured = tank_hours(body("main", HOURS, warm=24.0), body("box", HOURS, warm=20.0))
    assert as_in(measured, "main") is measured


def test_a_parasite_lives_in_a_tank_nobody_measured_as_in_one_as_warm() -> None:
    still, filled = (play(white_spot(), w, start(20.0)) for w in (moved(), as_in(moved(), "main")))
    both = [body(name, HOURS, warm=24.0, salt=0.5) for name in ("main", "box")]
    same = play(white_spot(), tank_hours(*both, where=BOTH), start(20.0))
    assert np.array_equal(filled.burden, same.burden)
    assert np.array_equal(filled.alive, same.alive)
    assert not np.array_equal(filled.burden, still.burden)
