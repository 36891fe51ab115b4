"""Ammonia and nitrite of a body while the bacteria of its new filter grow, for weeks.

Each stratum of the water is run with every printed rate of growth, and with few and many of those
that oxidise nitrite: which of them live in a filter nobody can see.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims import Claim, Knowledge
from tankside.course.bodies.strata import StratumSpec
from tankside.course.bodies.system import FilterState, System
from tankside.course.bodies.tank_hours import BodyHours
from tankside.course.water.nitrogen import Nitrogen
from tankside.quantity.per import HOURS_PER_DAY
from tankside.water.nitrifiers import (
    REFERENCE_C,
    AcidLimit,
    NitrifierRates,
    NitrogenSupply,
    nitrogen_ahead,
)

Floats = NDArray[np.float64]

KEY = "water.nitrification."
FIRST, SECOND = "ammonia_oxidisers", "nitrite_oxidisers"
FRESH = "fresh"


@dataclass(frozen=True, slots=True)
class FilterGrowth:
    """Ammonia and nitrite [mg/L as N] over strata and growths, shape (lanes, hours).

    Args:
        ammonia_mg_l_n: total ammonia.
        nitrite_mg_l_n: nitrite.
        middle: the lane of the point volume with the default rates.
        alkalinity_is_read: whether used-up alkalinity was counted.
    """

    ammonia_mg_l_n: Floats
    nitrite_mg_l_n: Floats
    middle: int
    alkalinity_is_read: bool


@dataclass(frozen=True, slots=True)
class DailyChange:
    """A change of the same share every day, from an hour of the course on."""

    share: float
    from_h: int


def filter_growth(
    system: System,
    nitrogen: Nitrogen,
    hours: Sequence[BodyHours],
    strata: Sequence[StratumSpec],
    facts: Knowledge,
    horizon_h: int,
    change: DailyChange | None = None,
) -> FilterGrowth | None:
    """Return the water ahead while a new filter grows; None where that cannot be worked out.

    Args:
        system: the body; its filter counts as new today, which is the late side.
        nitrogen: what is put in, changed out and made in it by the course.
        hours: the body in each stratum.
        strata: the strata, in the same order.
        facts: the printed rates.
        horizon_h: how far to look [h]; after the course the fish make what they made at its start.
        change: further changes of water; None for none.
    """
    unknown = system.filter_state is not FilterState.UNRIPE or system.water != FRESH
    if unknown or nitrogen.mixing is None or nitrogen.made_mg_l_h is None:
        return None
    first, second, acid = printed_nitrifiers(
        facts, few=bool(system.nitrite_mg_l_n), strata=len(hours)
    )
    growths = first.growth_per_d.size // len(hours)
    supply = _supply(system, nitrogen, hours, horizon_h, growths)
    if supply is None:
        return None
    if change is not None:
        _change_daily(supply, change, system)
    ahead = nitrogen_ahead(supply, first, second, acid)
    point = [spec.place for spec in strata].index(0)
    return FilterGrowth(
        ahead.nitrogen_mg_l_n[0],
        ahead.nitrogen_mg_l_n[1],
        point * growths,
        system.alkalinity_mg_l_caco3 is not None,
    )


def printed_nitrifiers(
    facts: Knowledge, *, few: bool, strata: int = 1
) -> tuple[NitrifierRates, NitrifierRates, AcidLimit]:
    """Return both kinds of bacteria, a lane for each way a filter may grow, and what acid does.

    The first lane of a stratum holds the default rates. Slow goes with slow, since both kinds live
    in the same filter.

    Args:
        facts: the printed rates.
        few: take few of those that oxidise nitrite only: nitrite that stands shows that they lag.
        strata: how often the ways are repeated.
    """
    claim = facts.claim(f"{KEY}{SECOND}.seed")
    least, many = claim.bounds()[0], claim.number()
    seeds = (least,) if few else (many, least)
    seed = facts.number(f"{KEY}{FIRST}.seed")
    first, second = (_by_pace(facts, kind) for kind in (FIRST, SECOND))
    return (
        _rates(facts, FIRST, [(pace, seed) for pace in first for _ in seeds], strata),
        _rates(facts, SECOND, [(pace, there) for pace in second for there in seeds], strata),
        AcidLimit(facts.number(f"{KEY}acid.full_ph"), facts.number(f"{KEY}acid.slope")),
    )


def _by_pace(facts: Knowledge, kind: str) -> tuple[float, float, float]:
    """Return the default, the slowest and the quickest printed growth at 30 C [1/d]."""
    rivals = facts.rivals(f"{KEY}{kind}.growth")
    assert rivals.default is not None
    activation = facts.number(f"{KEY}{kind}.activation")
    default, *others = (_at_reference(c, activation) for c in (rivals.default, *rivals.others))
    return default, min(default, *others), max(default, *others)


def _at_reference(claim: Claim, activation_kj_mol: float) -> float:
    rates = NitrifierRates(np.ones(1), 1.0, 1.0, 0.0, activation_kj_mol, np.ones(1))
    read_c = float(claim.conditions.get("temperature_c", REFERENCE_C))
    return claim.number() / float(rates.warmth(np.array(read_c)))


def _rates(
    facts: Knowledge, kind: str, growth_and_seed: Sequence[tuple[float, float]], strata: int
) -> NitrifierRates:
    growth, seed = np.tile(np.array(growth_and_seed).T, strata)
    half, yields, decay, activation = (
        facts.number(f"{KEY}{kind}.{name}") for name in ("half", "yield", "decay", "activation")
    )
    return NitrifierRates(growth, half, yields, decay, activation, seed)


def _supply(
    system: System, nitrogen: Nitrogen, hours: Sequence[BodyHours], horizon_h: int, growths: int
) -> NitrogenSupply | None:
    """Return what reaches the filter; None without temperature, pH or nitrite."""
    assert nitrogen.mixing is not None
    assert nitrogen.made_mg_l_h is not None
    warm, ph = (
        np.array([getattr(body, name) for body in hours]) for name in ("temperature_c", "ph")
    )
    if np.isnan(warm).any() or np.isnan(ph).any() or system.nitrite_mg_l_n is None:
        return None
    keep, gain = nitrogen.mixing.composed()
    course_h = keep.shape[-1]
    lasts = max(horizon_h, course_h)
    longer = ((0, 0), (0, 0), (0, lasts - course_h))
    made = np.pad(nitrogen.made_mg_l_h, longer[1:])
    made[:, course_h:] = nitrogen.made_mg_l_h[:, :1]
    buffer = system.alkalinity_mg_l_caco3
    alkalinity = np.full(len(hours), np.inf if buffer is None else buffer)
    return NitrogenSupply(
        np.repeat(np.pad(keep, longer, constant_values=1.0), growths, axis=1),
        np.repeat(np.pad(gain, longer), growths, axis=1),
        np.repeat(made, growths, axis=0),
        np.repeat(np.pad(warm, longer[1:], mode="edge"), growths, axis=0),
        np.repeat(np.pad(ph, longer[1:], mode="edge"), growths, axis=0),
        np.repeat(alkalinity, growths),
    )


def _change_daily(supply: NitrogenSupply, change: DailyChange, system: System) -> None:
    """Enter a change every day; new water that was not measured counts as clean."""
    water = system.new_water
    new = np.array([water.total_ammonia_mg_l_n or 0.0, water.nitrite_mg_l_n or 0.0, 0.0])
    hours = supply.made_mg_l_h.shape[1]
    daily = slice(change.from_h, hours, HOURS_PER_DAY)
    supply.keep[:, :, daily] *= 1 - change.share
    supply.gain[:, :, daily] *= 1 - change.share
    supply.gain[:, :, daily] += change.share * new[:, None, None]
