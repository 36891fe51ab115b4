"""What kills which stage: closed forms of survival under one factor at a time."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from tests.lifecycle.tanks import adding, body, deathless, fish, play, start, tank_hours, white_spot

from tankside import lifecycle
from tankside.course.bodies.tank_hours import BodyHours, Channel, TimedEvent

HOURS = 24
CYSTS = 4000.0
HALTED = {"cyst__oxygen_halt_mg_l": 60.0}  # nothing hatches, so that only killing thins the cysts
KILL = {
    "kill__peracetic_acid__cyst__lc50_mg_l": 2.0,
    "kill__peracetic_acid__cyst__hours": 3.0,
    "kill__peracetic_acid__cyst__steepness": 2.0,
}


def killed(strength: float, half: float, steepness: float, hours: float) -> float:
    """Kill per hour: half are dead after ``hours`` at ``half``."""
    return float(np.log1p((strength / half) ** steepness) / hours)


def cysts_left(water: BodyHours, **figures: Any) -> tuple[float, float]:
    """Return (cysts left, standard error) as a share of those at hour 0."""
    organism = adding(white_spot(), **(HALTED | figures))
    begin = lifecycle.InitialState(
        {}, bottom={"main": (CYSTS,) * 3}, steady_bottom=False, exact=True
    )
    run = play(organism, tank_hours(water), begin, fixed=True, record_h=(0, HOURS))
    left = run.bottom[:, 1].sum() / run.bottom[:, 0].sum()
    return float(left), float(np.sqrt(left * (1 - left) / run.bottom[:, 0].sum()))


def held(strength: float, **more: Any) -> BodyHours:
    return body(hours=HOURS, residue={"peracetic_acid": np.full(HOURS, strength)}, **more)


def agrees(left: tuple[float, float], expected: float) -> None:
    assert abs(left[0] - expected) <= 4 * left[1] + 1e-9, (left, expected)


@pytest.mark.parametrize("warm", [15.0, 20.0, 30.0])
def test_the_half_kill_level_falls_with_warmth_by_the_stated_factor(warm: float) -> None:
    left = cysts_left(
        held(0.5, warm=warm),
        **KILL,
        kill__peracetic_acid__cyst__q10=3.0,
        kill__peracetic_acid__cyst__ref_c=20.0,
    )
    rate = killed(0.5, 2.0 / 3.0 ** ((warm - 20) / 10), 2.0, 3.0)
    agrees(left, np.exp(-rate * HOURS))


def test_outside_the_warmth_on_record_the_nearer_end_holds() -> None:
    law = {
        "kill__peracetic_acid__cyst__q10": 3.0,
        "kill__peracetic_acid__cyst__ref_c": 17.0,
        "kill__peracetic_acid__cyst__from_c": 12.0,
        "kill__peracetic_acid__cyst__to_c": 17.0,
    }
    for warm, counted in ((28.0, 17.0), (14.0, 14.0), (5.0, 12.0)):
        rate = killed(0.5, 2.0 / 3.0 ** ((counted - 17) / 10), 2.0, 3.0)
        agrees(cysts_left(held(0.5, warm=warm), **KILL, **law), np.exp(-rate * HOURS))


def test_at_or_below_the_harmless_level_nothing_dies() -> None:
    harmless = {"kill__peracetic_acid__cyst__harmless": 0.5}
    assert cysts_left(held(0.5), **KILL, **harmless)[0] == 1
    agrees(cysts_left(held(0.6), **KILL, **harmless), np.exp(-killed(0.6, 2, 2, 3) * HOURS))


def test_contact_counts_only_once_it_has_lasted() -> None:
    contact = {"kill__peracetic_acid__cyst__contact_h": 6.0}
    agrees(
        cysts_left(held(0.6), **KILL, **contact),
        np.exp(-killed(0.6, 2, 2, 3) * (HOURS - 5)),
    )
    pulses = {"peracetic_acid": np.where(np.arange(HOURS) % 6 < 5, 0.6, 0.0)}
    assert cysts_left(body(hours=HOURS, residue=pulses), **KILL, **contact)[0] == 1


def test_low_salt_kills_by_its_own_level_and_only_below_the_harmless_one() -> None:
    figures = {
        "kill__low_salinity__cyst__half_g_l": 12.0,
        "kill__low_salinity__cyst__hours": 3.0,
        "kill__low_salinity__cyst__steepness": 4.0,
        "kill__low_salinity__cyst__harmless": 20.0,
    }
    for salt in (25.0, 20.0):
        assert cysts_left(body(hours=HOURS, salt=salt), **figures)[0] == 1
    for salt in (19.0, 16.0):
        rate = killed(1 / salt, 1 / 12, 4.0, 3.0)
        agrees(cysts_left(body(hours=HOURS, salt=salt), **figures), np.exp(-rate * HOURS))
    assert cysts_left(body(hours=HOURS, salt=0.0), **figures)[0] == 0
    unknown = body(hours=HOURS, salt=np.full(HOURS, np.nan))
    assert cysts_left(unknown, **figures)[0] == 1


def test_salt_and_heat_of_the_water_act_like_an_agent() -> None:
    salt = {
        "kill__sodium_chloride__cyst__lc50_mg_l": 9000.0,
        "kill__sodium_chloride__cyst__hours": 6.0,
        "kill__sodium_chloride__cyst__steepness": 3.0,
    }
    agrees(
        cysts_left(body(hours=HOURS, salt=6.0), **salt),
        np.exp(-killed(6000, 9000, 3, 6) * HOURS),
    )
    heat = {
        "kill__heat__cyst__half_c": 34.0,
        "kill__heat__cyst__hours": 24.0,
        "kill__heat__cyst__steepness": 30.0,
    }
    agrees(
        cysts_left(body(hours=HOURS, warm=33.0), **heat),
        np.exp(-killed(33, 34, 30, 24) * HOURS),
    )


FLUKES = {
    "kill__sodium_chloride__trophont__lc50_mg_l": 9000.0,
    "kill__sodium_chloride__trophont__hours": 0.25,
    "kill__sodium_chloride__trophont__steepness": 3.0,
    "feed__fenbendazole__trophont__half_mg_kg_d": 40.0,
    "feed__fenbendazole__trophont__hours": 144.0,
    "feed__fenbendazole__trophont__steepness": 3.0,
    "kill__low_salinity__trophont__half_g_l": 2.0,
    "kill__low_salinity__trophont__hours": 1.0,
    "kill__low_salinity__trophont__steepness": 2.0,
    "kill__low_salinity__trophont__harmless": 10.0,
}


def on_fish_left(*events: TimedEvent, salt: float = 30.0, **more: Any) -> tuple[float, float]:
    organism = adding(deathless(white_spot()), **(FLUKES | more))
    begin = start(400.0, age=0.0, exact=True, steady_bottom=False)
    water = tank_hours(body(hours=48, warm=10.0, salt=salt), events=events)
    run = play(organism, water, begin, fixed=True, record_h=(0, 40), hosts=(fish(20),))
    left = run.burden[:, 1].sum() / run.burden[:, 0].sum()
    return float(left), float(np.sqrt(left * (1 - left) / run.burden[:, 0].sum()))


def test_a_salt_dip_counts_its_own_strength_and_minutes() -> None:
    dip = TimedEvent(
        3, "main", Channel.BATH, group="fish", agent="sodium_chloride", amount=12000.0, minutes=10
    )
    rate = killed(12000, 9000, 3, 0.25)
    agrees(on_fish_left(dip, kill__sodium_chloride__trophont__harmless=35000.0), 1.0)
    # the tank itself holds 30 g/L here, which the harmless level keeps out of the sum
    agrees(
        on_fish_left(dip, salt=0.0, kill__low_salinity__trophont__harmless=1e-9),
        np.exp(-rate * 10 / 60),
    )


def test_a_dip_in_plain_water_of_untold_salt_is_fresh() -> None:
    dip = TimedEvent(3, "main", Channel.BATH, group="fish", minutes=6)
    left = on_fish_left(dip, kill__sodium_chloride__trophont__harmless=35000.0)
    rate = killed(1 / 0.1, 1 / 2.0, 2.0, 1.0)  # fresh water holds 0.1 g/L
    agrees(left, np.exp(-rate * 0.1))


def test_a_bath_shorter_than_the_contact_a_figure_needs_does_nothing() -> None:
    dip = TimedEvent(
        3, "main", Channel.BATH, group="fish", agent="sodium_chloride", amount=12000.0, minutes=10
    )
    quiet = {
        "kill__sodium_chloride__trophont__harmless": 11000.0,
        "kill__low_salinity__trophont__harmless": 1e-9,
    }
    assert on_fish_left(dip, salt=0.0, **quiet)[0] < 1
    longer = {"kill__sodium_chloride__trophont__contact_h": 0.2}
    assert on_fish_left(dip, salt=0.0, **quiet, **longer)[0] == 1


def test_feed_acts_for_as_long_as_it_lasts() -> None:
    feed = TimedEvent(3, "main", Channel.FEED, group="fish", agent="fenbendazole", amount=75.0)
    quiet = {"kill__sodium_chloride__trophont__harmless": 35000.0}
    rate = killed(75, 40, 3, 144)
    agrees(on_fish_left(feed, **quiet), np.exp(-rate * 24))
    short = {"feed__fenbendazole__lasts_h": 9.0}
    agrees(on_fish_left(feed, **quiet, **short), np.exp(-rate * 9))


def test_what_does_nothing_anywhere_is_no_act() -> None:
    organism = adding(white_spot(), **FLUKES)
    water = tank_hours(body(hours=48, salt=30.0))
    acting = lifecycle.compile(organism, water, (fish(),)).factors
    assert [factor.driver for factor in acting] == ["sodium_chloride"]
