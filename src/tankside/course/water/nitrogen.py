"""Ammonia and nitrite of one body hour by hour, with the filter spared, at risk or lost.

Model: food gives ammonia, the filter turns it into nitrite and that into nitrate at rates that
make the readings come out at the start. What an agent does to the filter is a class, and the
harsher stratum takes its harsher end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.course.bodies.effects import (
    AgentAdded,
    AgentUnknown,
    Exchanged,
    ReadingEntered,
    Switch,
)
from tankside.course.bodies.facts import Range, find_number, find_range
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.strata import StratumSpec
from tankside.course.bodies.system import FilterState, NewWater
from tankside.course.bodies.tank_hours import Hourly
from tankside.course.water.body_run import BodyRun
from tankside.course.water.mixing import Mixing
from tankside.quantity.per import HOURS_PER_DAY, MG_PER_G
from tankside.water.nitrogen import ammonia_produced_timmons

Floats = NDArray[np.float64]

ROWS = ("ammonia", "nitrite", "nitrate")
FEED_KEY = "practice.course.feed_share_of_weight"
PROTEIN_KEY = "practice.course.feed_protein_share"
FASTING_KEY = "practice.course.fasting_excretion_share"
AT_RISK_KEY = "practice.course.filter_at_risk_share"
DETECTION_KEY = "practice.course.test_detection"
LOST, AT_RISK, SPARED = "lost", "at_risk", "spared"


@dataclass(frozen=True, slots=True)
class Nitrogen:
    """Total ammonia and nitrite [mg/L N], shape (strata, hours); NaN with a reason if unknown.

    ``made_mg_l_h`` is the ammonia that the fish make [mg/L N in an hour], same shape.
    """

    ammonia_mg_l_n: Floats
    nitrite_mg_l_n: Floats
    ask: str = ""
    mixing: Mixing | None = None
    solved: Floats | None = None
    made_mg_l_h: Floats | None = None


def filter_class(effect: object) -> str:
    """Return spared, at_risk or lost; what is not known is at risk."""
    text = str(effect)
    return text if text in (LOST, AT_RISK, SPARED) else AT_RISK


def nitrogen(
    run: BodyRun, stock: Sequence[StockGroup], inside: Mapping[str, NDArray[np.bool_]]
) -> Nitrogen:
    """Return ammonia and nitrite of a body.

    Args:
        run: the body.
        stock: the animals, with weights.
        inside: the hours in which each group is in this body.
    """
    shape = (len(run.strata), run.hours)
    here = [group for group in stock if bool(inside[group.id].any())]
    ask = _missing(run, here)
    production = None if ask else _production(run, here, inside)
    if production is None:
        nothing = np.full(shape, np.nan)
        return Nitrogen(nothing, nothing, ask or "how much is fed (no figure known)")
    ammonia = run.system.total_ammonia_mg_l_n
    assert ammonia is not None
    nitrite = run.system.nitrite_mg_l_n
    start = np.array([[ammonia], [nitrite or 0.0], [0.0]]) * np.ones(len(run.strata))
    mixing = Mixing(ROWS, run.mixing.volume_l, start, run.hours)
    _enter(run, mixing)
    solved = _solve(run, mixing, production)
    unknown = np.full(shape, np.nan)
    read = unknown if nitrite is None else solved[1]
    return Nitrogen(solved[0], read, "", mixing, solved, production)


def _missing(run: BodyRun, here: Sequence[StockGroup]) -> str:
    if run.system.total_ammonia_mg_l_n is None:
        return "ammonia"
    if run.system.filter_state is None:
        return "whether the filter is ripe"
    heavy = [group for group in here if group.weight_g is None]
    lacking = "length or weight" if any(group.length_cm is None for group in heavy) else "weight"
    names = dict.fromkeys(group.name for group in heavy)
    return f"{lacking} of {', '.join(names)}" if heavy else ""


def _load(spec: StratumSpec, bracket: Range) -> float:
    """Return the end of a bracket of a load (the heavier in the harsher stratum)."""
    low, value, high = bracket
    return (value, low, high)[spec.place]


def _production(
    run: BodyRun, here: Sequence[StockGroup], inside: Mapping[str, NDArray[np.bool_]]
) -> Floats | None:
    """Return ammonia made [mg/L/h], shape (strata, hours)."""
    feed, protein = find_range(run.facts, FEED_KEY), find_range(run.facts, PROTEIN_KEY)
    fasting = find_range(run.facts, FASTING_KEY)
    if feed is None or protein is None or fasting is None:
        return None
    ration = run.switched(Switch.FEED, 1.0)
    rows = []
    for spec, volume in zip(run.strata, run.mixing.volume_l, strict=True):
        grams = np.zeros(run.hours)
        for group in here:
            assert group.weight_g is not None
            grams += inside[group.id] * group.count * _load(spec, group.weight_g)
        made = ammonia_produced_timmons(_load(spec, feed), _load(spec, protein)).number
        share = ration + np.maximum(0.0, 1 - ration) * _load(spec, fasting)
        rows.append(grams * share * made * MG_PER_G / HOURS_PER_DAY / volume)
    return np.array(rows)


def _enter(run: BodyRun, mixing: Mixing) -> None:
    contents: dict[int, Floats] = {}
    for hour, effect in run.steps.water:
        if isinstance(effect, Exchanged):
            water = effect.new_water
            if id(water) not in contents:
                contents[id(water)] = _new(water)
            mixing.exchange(hour, effect.litres, contents[id(water)])
        elif isinstance(effect, ReadingEntered):
            for row, name in enumerate(("total_ammonia_mg_l_n", "nitrite_mg_l_n")):
                if name in effect.values:
                    mixing.set(hour, row, effect.values[name])


def _new(water: NewWater) -> Floats:
    """Return ammonia, nitrite and nitrate of new water; not measured counts as none."""
    return np.array([water.total_ammonia_mg_l_n or 0.0, water.nitrite_mg_l_n or 0.0, 0.0])


def _solve(run: BodyRun, mixing: Mixing, production: Floats) -> Floats:
    working = _filter(run)
    shape = mixing.shape
    retained, made = np.ones(shape), np.zeros(shape)
    mixing.retained, mixing.made = retained, made
    solved = np.empty(shape)
    supply = production
    for row in (0, 1):
        rate = _rate(run, row, production) * working
        retained[row] = np.exp(-rate)
        made[row] = supply * _mean_kept(rate)
        solved[row] = mixing.solve([row])[0]
        supply = supply - made[row] + solved[row] * (1 - retained[row])
    made[2] = supply
    solved[2] = mixing.solve([2])[0]
    return solved


def _mean_kept(rate: Floats) -> Floats:
    """Return the share of what came in evenly during an hour that is left at its end."""
    kept: Floats = np.divide(-np.expm1(-rate), rate, out=np.ones_like(rate), where=rate > 0)
    return kept


def _rate(run: BodyRun, row: int, production: Floats) -> Floats:
    """Return the rate [1/h] at which a whole ripe filter clears ammonia (0) or nitrite (1).

    It makes the reading come out at the ration of the start; a reading of zero is taken as the
    smallest step that a test shows.
    """
    read = (run.system.total_ammonia_mg_l_n, run.system.nitrite_mg_l_n)[row]
    detected = find_number(run.facts, DETECTION_KEY)
    level = max(read or 0.0, detected or 0.0)
    if not level > 0:
        return np.zeros_like(production)
    return np.repeat(production[:, :1] / level, run.hours, axis=1)


def _filter(run: BodyRun) -> Floats:
    """Return the share of the filter that works, shape (strata, hours)."""
    ripe = run.system.filter_state is FilterState.RIPE
    working = np.full((len(run.strata), run.hours), float(ripe))
    risk = find_range(run.facts, AT_RISK_KEY) or (0.0, 0.0, 0.0)
    first: dict[str, int] = {residue.agent: 0 for residue in run.system.residues}
    for hour, effect in run.steps.water:
        if isinstance(effect, AgentAdded | AgentUnknown):
            first.setdefault(effect.agent, hour)
    for agent, hour in first.items():
        claim = run.facts.find(f"agent.{agent}.effect.filter")
        effect_class = filter_class(None if claim is None else claim.value)
        if effect_class == SPARED:
            continue
        for at, spec in enumerate(run.strata):
            working[at, hour:] *= 0.0 if effect_class == LOST else spec.pick(*risk)
    return working


def crowding(
    stock: Sequence[StockGroup], inside: Mapping[str, NDArray[np.bool_]], hours: int
) -> Hourly:
    """Return the weight of fish in a body relative to hour 0, never below 1, by hour.

    Fish that leave are not credited; fish that come into a body that held none give no ratio
    and count as 1 (their use is then only what a new reading shows).
    """
    grams = np.zeros(hours)
    for group in stock:
        if group.weight_g is not None:
            grams += inside[group.id] * group.count * group.weight_g[1]
    if not grams[0] > 0:
        return np.ones(hours)
    crowded: Hourly = np.maximum(grams / grams[0], 1.0)
    return crowded
