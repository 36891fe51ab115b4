"""What halts or times a stage: arrest by salt and oxygen, ends before the light goes on."""

from __future__ import annotations

import numpy as np
import pytest
from tests.lifecycle.tanks import adding, body, deathless, play, start, tank_hours, white_spot

from tankside import lifecycle
from tankside.lifecycle.inputs.development_rate import halt, in_rhythm

HOURS = 480
NIGHT = {"cyst__ends_before_light_from_h": 6.0, "cyst__ends_before_light_to_h": 3.0}


def water(hours: int = HOURS, **levels: float) -> dict[str, np.ndarray]:
    series = {"salinity": np.zeros(hours), "oxygen": np.full(hours, 7.0)}
    return series | {name: np.full(hours, level) for name, level in levels.items()}


@pytest.mark.parametrize(
    ("level", "factor"), [(1.0, 0.0), (2.0, 0.0), (3.0, 0.5), (4.0, 1.0), (9.0, 1.0)]
)
def test_development_ramps_from_its_halt(level: float, factor: float) -> None:
    organism = adding(white_spot(), cyst__oxygen_halt_mg_l=2.0, cyst__oxygen_full_mg_l=4.0)
    assert halt(organism, organism.stage("cyst"), water(oxygen=level)) == pytest.approx(factor)


def test_salt_halts_from_both_sides_and_what_is_unknown_halts_nothing() -> None:
    organism = adding(
        white_spot(),
        cyst__salt_low_halt_g_l=10.0,
        cyst__salt_high_halt_g_l=60.0,
        cyst__salt_high_full_g_l=50.0,
    )
    stage = organism.stage("cyst")
    for salt, factor in ((10.0, 0), (10.1, 1), (50.0, 1), (55.0, 0.5), (60.0, 0)):
        assert halt(organism, stage, water(salinity=salt)) == pytest.approx(factor)
    assert (halt(organism, stage, water(salinity=np.nan)) == 1).all()


def test_a_halted_stage_goes_on_where_it_stopped() -> None:
    organism = adding(white_spot(), cyst__oxygen_halt_mg_l=2.0)
    begin = lifecycle.InitialState({}, bottom={"main": (200.0,) * 3}, steady_bottom=False, age=0.0)
    low = np.where(np.arange(HOURS) < 240, 1.0, 7.0)
    plain, late = (
        play(organism, tank_hours(body(hours=HOURS, oxygen=o)), begin, fixed=True)
        for o in (7.0, low)
    )
    gone = [np.argmax(r.bottom.mean(axis=0) < 100) for r in (plain, late)]
    assert gone[1] - gone[0] == 10
    assert late.bottom[:, 9].mean() == pytest.approx(200, rel=0.02)


def lit(hours: int) -> np.ndarray:
    """Light from hour 8 to hour 20 of each day."""
    return ((np.arange(hours) % 24 >= 8) & (np.arange(hours) % 24 < 20)).astype(float)


def test_progress_of_a_day_is_kept_and_gathered_into_the_gate() -> None:
    organism = adding(white_spot(), **NIGHT)
    rate = np.linspace(0.5, 1.5, 96)
    gated = in_rhythm(organism, organism.stage("cyst"), rate, lit(96))
    assert set(np.flatnonzero(gated[:80]) % 24) == {2, 3, 4}  # 6 to 3 h before hour 8
    assert gated[:8].sum() == pytest.approx(rate[:8].sum())
    assert gated[8:32].sum() == pytest.approx(rate[8:32].sum())
    assert (gated[80:] == rate[80:]).all()  # no dawn is known after the last one


@pytest.mark.parametrize("light", [0.0, 1.0])
def test_constant_light_or_darkness_leaves_progress_even(light: float) -> None:
    organism = adding(white_spot(), **NIGHT)
    rate = np.linspace(0.5, 1.5, 96)
    gated = in_rhythm(organism, organism.stage("cyst"), rate, np.full(96, light))
    assert (gated == rate).all()


def test_cysts_empty_only_in_the_gate_and_no_later_in_the_mean() -> None:
    organism = adding(white_spot(), **NIGHT)
    hours = 240
    begin = lifecycle.InitialState({}, bottom={"main": (400.0,) * 3}, steady_bottom=False)
    looks = tuple(range(hours + 1))
    plain, timed = (
        play(
            organism,
            tank_hours(body(hours=hours, warm=12.0, light=light)),
            begin,
            record_h=looks,
            fixed=True,
            histories=256,
        )
        for light in (0.0, lit(hours))
    )
    left = timed.bottom.sum(axis=0)
    ended = np.flatnonzero(np.diff(left) < 0)
    assert set(ended[ended < 216] % 24) == {2, 3, 4}
    alive = [r.bottom.sum(axis=0) / r.bottom[:, 0].sum() for r in (plain, timed)]
    mean_stay = [a.sum() for a in alive]
    assert mean_stay[1] - mean_stay[0] == pytest.approx(0, abs=13)  # hours: the phase of a day


def test_parasites_leave_the_fish_in_the_gate_too() -> None:
    night = {
        "trophont__ends_before_light_from_h": 3.0,
        "trophont__ends_before_light_to_h": 0.0,
    }
    organism = adding(deathless(white_spot()), **night)
    looks = tuple(range(73))
    begin = start(50.0, steady_bottom=False)
    histories = play(organism, tank_hours(body(hours=72, light=lit(72))), begin, record_h=looks)
    fell = np.flatnonzero(np.diff(histories.burden.sum(axis=(0, 2))) < 0)
    assert set(fell[fell < 56] % 24) == {5, 6, 7}
