"""The loop against closed forms, in mean and in spread; a million histories in the slow tier."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import gammaincc
from tests.lifecycle.tanks import body, fish, play, stating, tank_hours, without

from tankside import lifecycle
from tankside.bench.kernel_models import model
from tankside.claims.organism import LifeStage, Organism, Place, StageKind
from tankside.course.bodies.tank_hours import Channel, TankHours, TimedEvent

LOT = 20_000
Wanted = NDArray[np.float64]


def seen(
    organism: Organism,
    water: TankHours,
    begin: lifecycle.InitialState,
    histories: int,
    record_h: tuple[int, ...],
    many: int = 1,
) -> dict[str, NDArray[np.int64]]:
    """Return counts of many histories, (histories, moments)."""
    lots = [
        play(
            organism,
            water,
            begin,
            histories=min(LOT, histories - lot),
            hosts=(fish(many, weight=1.0),),
            fixed=True,
            seed=17 + lot,
            record_h=record_h,
        )
        for lot in range(0, histories, LOT)
    ]
    return {
        "burden": np.concatenate([part.burden.sum(axis=2) for part in lots]),
        "swimmers": np.concatenate([part.swimmers for part in lots]),
        "clear": np.concatenate([part.clear for part in lots]).astype(np.int64),
    }


def in_errors(samples: NDArray[np.int64] | NDArray[np.float64], wanted: Wanted) -> float:
    """Return the largest difference of the mean from what is wanted, in Monte Carlo errors."""
    error = samples.std(axis=0) / np.sqrt(len(samples))
    return float(np.abs((samples.mean(axis=0) - wanted) / error).max())


def spread_in_errors(samples: NDArray[np.int64], wanted: Wanted, spread: Wanted) -> float:
    """Return the same for the variance about the wanted mean."""
    return in_errors((samples - wanted) ** 2, spread)


def still() -> Organism:
    """Return the frozen organism without deaths."""
    return without(model("A").organism, "host.")


def divider(birth_per_d: float, loss_per_d: float) -> Organism:
    """Return an invented organism that only divides and dies on the fish."""
    base = still()
    claim = base.claims["feeding.residence"]
    rates = {"divider.birth_per_d": birth_per_d, "divider.loss_per_d": loss_per_d}
    claims = {key: replace(claim, key=key, value=rate, unit="1/d") for key, rate in rates.items()}
    return replace(
        base, stages=(LifeStage("divider", Place.HOST, StageKind.RATED),), claims=claims, rivals={}
    )


def pure_death(histories: int) -> list[float]:
    hours = np.asarray([6, 24, 72, 120])
    begin = lifecycle.InitialState({}, swimmers={"main": (400.0,) * 3}, steady_bottom=False)
    water = tank_hours(body(hours=120, litres=1e9))
    counts = seen(still(), water, begin, histories, tuple(hours))
    left = 400 * np.exp(-hours / 18)
    swimmers = counts["swimmers"]
    gone = in_errors(counts["clear"][:, 2:], np.exp(-left[2:]))
    return [in_errors(swimmers, left), spread_in_errors(swimmers, left, left), gone]


def pure_birth(histories: int) -> list[float]:
    days = np.asarray([1, 4, 8])
    begin = lifecycle.InitialState({"fish": (5.0,) * 3}, exact=True)
    water = tank_hours(body(hours=192))
    burden = seen(divider(0.4, 0.0), water, begin, histories, tuple(24 * days))["burden"]
    growth = np.exp(0.4 * days)
    mean, spread = 5 * growth, 5 * growth * (growth - 1)
    return [in_errors(burden, mean), spread_in_errors(burden, mean, spread)]


def birth_and_death(histories: int) -> list[float]:
    days = np.asarray([2, 5, 10])
    birth, loss = 0.3, 0.4
    begin = lifecycle.InitialState({"fish": (5.0,) * 3}, exact=True)
    water = tank_hours(body(hours=240))
    counts = seen(divider(birth, loss), water, begin, histories, tuple(24 * days))
    growth = np.exp((birth - loss) * days)
    ended = (loss * (growth - 1) / (birth * growth - loss)) ** 5
    mean = 5 * growth
    spread = 5 * (birth + loss) / (birth - loss) * growth * (growth - 1)
    burden = counts["burden"]
    return [
        in_errors(burden, mean),
        spread_in_errors(burden, mean, spread),
        in_errors(counts["clear"], ended),
    ]


def erlang_stay(histories: int) -> list[float]:
    hours = np.asarray([36, 72, 108, 120, 144, 192, 240])
    organism = stating(still(), swimmer__establish=0.0)
    begin = lifecycle.InitialState({"fish": (20.0,) * 3}, age=0.0, steady_bottom=False, exact=True)
    water = tank_hours(body(hours=240, litres=1e9))
    burden = seen(organism, water, begin, histories, tuple(hours))["burden"]
    left = gammaincc(8, hours * 8 / 120)
    return [
        in_errors(burden, 20 * left),
        spread_in_errors(burden, 20 * left, 20 * left * (1 - left)),
    ]


def dilution(histories: int) -> list[float]:
    hours = np.asarray([12, 13, 40, 72, 96])
    organism = stating(still(), swimmer__life=1e12)
    changes = tuple(
        TimedEvent(h, "main", Channel.WATER_REMOVED, 0.25, 0.25, 0.25) for h in range(12, 96, 24)
    )
    begin = lifecycle.InitialState({}, swimmers={"main": (400.0,) * 3}, steady_bottom=False)
    water = tank_hours(body(hours=96, litres=1e12), events=changes)
    swimmers = seen(organism, water, begin, histories, tuple(hours))["swimmers"]
    left = 400 * 0.75 ** np.ceil((hours - 12) / 24)
    return [in_errors(swimmers, left), spread_in_errors(swimmers, left, left)]


def one_generation(histories: int) -> list[float]:
    organism = stating(still(), feeding__residence=1e9)
    begin = lifecycle.InitialState({}, bottom={"main": (2.0,) * 3}, steady_bottom=False)
    water = tank_hours(body(hours=480, litres=1.0))
    burden = seen(organism, water, begin, histories, (480,), many=20)["burden"]
    settling = 8 / 300
    mean = np.asarray([2 * 300 * settling])
    spread = 2 * (300 * settling * (1 - settling) + (300 * settling) ** 2)
    return [in_errors(burden, mean), spread_in_errors(burden, mean, np.asarray([spread]))]


FORMS = (pure_death, pure_birth, birth_and_death, erlang_stay, dilution, one_generation)
Form = Callable[[int], list[float]]


@pytest.mark.parametrize("form", FORMS)
def test_a_few_thousand_histories_within_four_errors(form: Form) -> None:
    assert max(form(4000)) < 4


@pytest.mark.slow
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("form", FORMS)
def test_a_million_histories_within_four_errors(form: Form) -> None:
    assert max(form(1_000_000)) < 4
