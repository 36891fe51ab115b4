"""How the bacteria of a new filter grow, and what they make of ammonia and of nitrite.

Two steps: one kind of bacteria turns ammonia into nitrite, another nitrite into nitrate. Each grows
on what it turns over, as long as there is any.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting, unit_factor, whole_setting
from tankside.quantity.per import HOURS_PER_DAY
from tankside.water.nitrogen import nitrification_alkalinity_g

Floats = NDArray[np.float64]

FORMS = ("ammonia", "nitrite", "nitrate")
REFERENCE_C = setting(30.0, "rates are kept for this temperature; any would serve")
_GAS_KJ_MOL_K = unit_factor(0.0083145, "gas constant, kJ/(mol K)")
_ZERO_C_K = unit_factor(273.15, "zero Celsius in kelvin")
_STEPS = whole_setting(2, "steps an hour: halving them moves no reading by more than 0.1 mg/L")


@dataclass(frozen=True, slots=True)
class NitrifierRates:
    """One kind of bacteria.

    Args:
        growth_per_d: highest growth at 30 C [1/d], shape (lanes,).
        half_mg_l_n: strength at which half of it is reached [mg/L as N].
        yield_mg_mg: bacteria from nitrogen turned over [mg/mg N].
        decay_per_d: loss at 30 C [1/d].
        activation_kj_mol: how strongly warmth acts [kJ/mol].
        seed_mg_l_d: nitrogen that those there at the start could turn over at 30 C [mg N/L/d],
            shape (lanes,).
    """

    growth_per_d: Floats
    half_mg_l_n: float
    yield_mg_mg: float
    decay_per_d: float
    activation_kj_mol: float
    seed_mg_l_d: Floats

    def seed_mg_l(self) -> Floats:
        """Return the bacteria of the start [mg/L], shape (lanes,)."""
        return self.seed_mg_l_d * self.yield_mg_mg / self.growth_per_d

    def warmth(self, temperature_c: Floats) -> Floats:
        """Return the rate relative to that at 30 C (Arrhenius)."""
        inverse = 1 / (REFERENCE_C + _ZERO_C_K) - 1 / (temperature_c + _ZERO_C_K)
        warmth: Floats = np.exp(self.activation_kj_mol / _GAS_KJ_MOL_K * inverse)
        return warmth


@dataclass(frozen=True, slots=True)
class AcidLimit:
    """How the rate falls with pH: 1 from ``full_ph`` up, less by ``slope_per_ph`` below it."""

    full_ph: float
    slope_per_ph: float

    def share(self, ph: Floats) -> Floats:
        """Return the share of the rate that is left, 0 to 1."""
        share: Floats = np.clip(1 - self.slope_per_ph * (self.full_ph - ph), 0, 1)
        return share


@dataclass(frozen=True, slots=True)
class NitrogenSupply:
    """What reaches a filter, hour by hour; arrays of shape (lanes, hours) but where said.

    Args:
        keep: share of ammonia, nitrite and nitrate that stays through the steps of an hour, shape
            (3, lanes, hours); 0 in the first hour.
        gain: what those steps add [mg/L as N], same shape; the first hour holds the start.
        made_mg_l_h: ammonia that the fish make [mg/L as N in an hour].
        temperature_c: temperature [C].
        ph: pH.
        alkalinity_mg_l: alkalinity at the start and of new water [mg/L CaCO3], shape (lanes,);
            infinite where nobody measured it.
    """

    keep: Floats
    gain: Floats
    made_mg_l_h: Floats
    temperature_c: Floats
    ph: Floats
    alkalinity_mg_l: Floats


@dataclass(frozen=True, slots=True)
class NitrogenAhead:
    """Ammonia, nitrite and nitrate [mg/L as N] at the start of each hour, shape (3, lanes, hours).

    ``alkalinity_mg_l`` [mg/L CaCO3], shape (lanes, hours), is infinite where nobody measured it.
    """

    nitrogen_mg_l_n: Floats
    alkalinity_mg_l: Floats


def nitrogen_ahead(
    supply: NitrogenSupply, first: NitrifierRates, second: NitrifierRates, acid: AcidLimit
) -> NitrogenAhead:
    """Return what becomes of the nitrogen of a water while its filter grows.

    Args:
        supply: what reaches the filter.
        first: those that turn ammonia into nitrite.
        second: those that turn nitrite into nitrate.
        acid: what low pH does to both.

    Returns:
        The strengths at the start of each hour, after its steps.

    Equation:
        dX/dt = (m S/(K + S) f(T) g(pH) - b f(T)) X, dS/dt = -m S/(K + S) f(T) g(pH) X / Y, for
        each step; what leaves the first is what reaches the second.

    Where it holds:
        fresh water, air enough. Bacteria are counted per litre of water; what limits them on a
        surface is not. Used-up alkalinity stops both steps.
    """
    lanes, hours = supply.made_mg_l_h.shape
    state = np.zeros((len(FORMS), lanes))
    bacteria = [first.seed_mg_l(), second.seed_mg_l()]
    alkalinity = supply.alkalinity_mg_l.copy()
    per_step = 1 / (HOURS_PER_DAY * _STEPS)
    nitrogen, buffered = np.empty((len(FORMS), lanes, hours)), np.empty((lanes, hours))
    share = acid.share(supply.ph)
    warmth = [rates.warmth(supply.temperature_c) for rates in (first, second)]
    for hour in range(hours):
        state = supply.keep[:, :, hour] * state + supply.gain[:, :, hour]
        kept = supply.keep[2, :, hour]
        if hour:
            alkalinity = _mixed(alkalinity, supply.alkalinity_mg_l, kept)
        nitrogen[:, :, hour], buffered[:, hour] = state, alkalinity
        for _ in range(_STEPS):
            state[0] += supply.made_mg_l_h[:, hour] / _STEPS
            works = share[:, hour] * (alkalinity > 0)
            for row, rates in enumerate((first, second)):
                pace = warmth[row][:, hour] * per_step
                turned = _turned(rates, bacteria[row], state[row], pace * works)
                state[row] -= turned
                state[row + 1] += turned
                bacteria[row] = bacteria[row] * (1 - rates.decay_per_d * pace)
                bacteria[row] += rates.yield_mg_mg * turned
                if row == 0:
                    alkalinity = np.maximum(alkalinity - nitrification_alkalinity_g(turned), 0)
    return NitrogenAhead(nitrogen, buffered)


def _turned(rates: NitrifierRates, bacteria: Floats, there: Floats, pace_d: Floats) -> Floats:
    """Return what one kind turns over in a step [mg/L as N], never more than is there."""
    eaten = rates.growth_per_d * there / (rates.half_mg_l_n + there) / rates.yield_mg_mg
    return np.minimum(eaten * bacteria * pace_d, there)


def _mixed(there: Floats, new: Floats, kept: Floats) -> Floats:
    """Return the alkalinity after a change; nothing moves where it is not measured."""
    mixed = there.copy()
    read = np.isfinite(there)
    mixed[read] = kept[read] * there[read] + (1 - kept[read]) * new[read]
    return mixed
