"""Damage by parasites that grow: closed form for one cohort, cure, warmth, what ages have done."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import quad
from tests.lifecycle.tanks import body, fish, play, stating, tank_hours, white_spot, without

from tankside import library, lifecycle
from tankside.claims.organism import Organism
from tankside.course.bodies.tank_hours import Channel, TimedEvent

STAY_DEGREES, START_C = 100.0, 3.1
FISH, LOAD, SLOPE = 400, 50.0, 1.5
Numbers = NDArray[np.float64]


def one_stay(growth: float, healing_per_d: float) -> Organism:
    """Return white spot that settles once, with a stay of one length and equal fish."""
    bare = without(white_spot(), "immunity.", "host.cap", "host.susceptibility", "trophont.heat")
    return stating(
        bare,
        swimmer__establish=0.0,
        trophont__residence=STAY_DEGREES,
        trophont__residence_cv=0.0,
        trophont__strain_factor=1.0,
        host__lethal_load=LOAD,
        host__lethal_reference_g=5.0,
        host__lethal_slope=SLOPE,
        host__harm_growth=growth,
        host__healing_per_d=healing_per_d,
    )


def share_dead(
    organism: Organism,
    each: int,
    days: int,
    *,
    warm: float | Numbers = 20.0,
    age: float = 0.0,
    weight: float = 5.0,
    events: tuple[TimedEvent, ...] = (),
) -> Numbers:
    """Return the share of fish dead at the end of each day, over 8,000 fish."""
    begin = lifecycle.InitialState(
        {"fish": (float(each),) * 3}, age=age, steady_bottom=False, exact=True
    )
    water = tank_hours(body(hours=24 * days, warm=warm), events=events)
    result = play(organism, water, begin, hosts=(fish(FISH, weight),), histories=20, fixed=True)
    return np.asarray(1 - result.alive[:, :, 0].mean(axis=0) / FISH)


def dead_of(damage: Numbers | float) -> Numbers:
    """Return the share whose log-logistic threshold lies below a damage in lethal loads."""
    x = np.asarray(damage, dtype=float) ** SLOPE
    return np.asarray(x / (1 + x))


def errors(share: Numbers, wanted: Numbers) -> Numbers:
    spread = np.sqrt(np.maximum(wanted * (1 - wanted), 1e-4) / (20 * FISH))
    return np.asarray((share - wanted) / spread)


@pytest.mark.parametrize("growth", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("each", [25, 100, 400])
def test_one_cohort_kills_by_its_closed_form(growth: float, each: int) -> None:
    # D = (B / L) ((1 - k) x + k x^2), x = part of the stay that is over; level once it has left.
    share = share_dead(one_stay(growth, 0.0), each, 8)
    part = np.minimum(np.arange(9) * (20.0 - START_C) / STAY_DEGREES, 1.0)
    wanted = dead_of(each / LOAD * ((1 - growth) * part + growth * part**2))
    assert np.abs(errors(share, wanted)).max() < 4, (share, wanted)


def test_warming_hastens_deaths_only_through_the_stay() -> None:
    warm = np.where(np.arange(240) < 72, 12.0, 24.0)
    share = share_dead(one_stay(1.0, 0.0), 100, 10, warm=warm)
    degrees = np.concatenate([[0.0], np.cumsum(warm - START_C) / 24])[::24]
    wanted = dead_of(100 / LOAD * np.minimum(degrees / STAY_DEGREES, 1.0) ** 2)
    assert np.abs(errors(share, wanted)).max() < 4
    assert share[3] < 0.2 < share[-1]


def test_damage_heals_at_its_rate() -> None:
    rate, stay_d = 0.4, STAY_DEGREES / (20.0 - START_C)
    share = share_dead(one_stay(1.0, rate), 100, 6, warm=20.0)

    def damage(day: float) -> float:
        def kept(at: float) -> float:
            return float(2 * at / stay_d**2 * np.exp(-rate * (day - at)))

        return 100 / LOAD * quad(kept, 0, min(day, stay_d))[0]

    # Once damage falls nobody dies any more.
    wanted = np.maximum.accumulate([dead_of(damage(day)) for day in range(7)])
    assert np.abs(errors(share, np.asarray(wanted))).max() < 4


def test_larger_fish_bear_more_by_the_area_of_their_skin() -> None:
    small, large = (
        share_dead(one_stay(1.0, 0.0), 100, 8, weight=weight)[-1] for weight in (5.0, 40.0)
    )
    wanted = dead_of(np.asarray([100 / LOAD, 100 / LOAD / 4]))
    assert np.abs(errors(np.asarray([small, large]), wanted)).max() < 4


@pytest.mark.parametrize("age", [0.3, 0.8])
def test_fish_infested_for_long_die_of_what_is_still_to_come(age: float) -> None:
    # Alive at hour 0 with the damage of that age, so a threshold above it: S(final) / S(begin).
    share = share_dead(one_stay(1.0, 0.0), 100, 8, age=age)
    begun, whole = (dead_of(100 / LOAD * part**2) for part in (age, 1.0))
    wanted = np.asarray(1 - (1 - whole) / (1 - begun))
    assert share[0] == 0
    assert np.abs(errors(share[-1:], wanted[np.newaxis])).max() < 4


def test_a_cure_saves_every_fish_that_has_not_passed_its_threshold() -> None:
    organism = one_stay(1.0, 0.1)
    claims = dict(organism.claims)
    for key in ("lc50_mg_l", "steepness", "hours"):
        claims[f"kill.formalin.trophont.{key}"] = claims[f"kill.formalin.swimmer.{key}"]
    cured = replace(organism, claims=claims)
    bath = TimedEvent(
        72, "main", Channel.BATH, group="fish", agent="formalin", amount=1e4, minutes=60
    )
    left, treated = (share_dead(cured, 200, 10, events=events) for events in ((), (bath,)))
    assert np.array_equal(left[:4], treated[:4])
    # The bath acts within its hour; until then those near their threshold may still pass it.
    assert treated[3] <= treated[4] == treated[-1] < treated[3] + 0.02
    assert left[-1] > treated[-1] + 0.2


def test_fewer_parasites_never_kill_a_fish_sooner() -> None:
    organism = one_stay(0.7, 0.1)
    by_load = [share_dead(organism, each, 8) for each in (20, 60, 180)]
    assert (by_load[0] <= by_load[1]).all()
    assert (by_load[1] <= by_load[2]).all()


@pytest.mark.parametrize("worms", [20, 100, 200])
def test_worms_kill_guppies_by_their_number_per_day(worms: int) -> None:
    # Twumasi et al. 2022 (calibration): 0.055 a day for each 100 worms on a guppy of 18 mm.
    still = stating(
        library.load().organisms["gyrodactylus_salaris"],
        worm__birth_per_d=0.0,
        worm__loss_per_d=0.0,
        worm__transfer_per_d=0.0,
    )
    begin = lifecycle.InitialState({"fish": (float(worms),) * 3}, exact=True)
    result = play(
        still,
        tank_hours(body(hours=48)),
        begin,
        hosts=(fish(FISH, 0.08),),
        histories=20,
        fixed=True,
        record_h=(0, 48),
    )
    share = 1 - result.alive[:, 1, 0].mean() / FISH
    wanted = 1 - np.exp(-2 * 0.055 * worms / 100)
    assert share == pytest.approx(wanted, abs=0.02)
