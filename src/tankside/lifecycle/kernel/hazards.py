"""What removes each stage in one history: strengths, flows and timed events become hazards."""

from __future__ import annotations

from math import exp, log, log1p

from tankside.claims import setting
from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.layout import ZERO, Array, Real, Whole, World
from tankside.lifecycle.kernel.positions import Column, EventColumn, Flow, ShareColumn, StrongColumn

IN_BRACKET = int(Column.IN_BRACKET)
SHARE_IN_RANGE = int(Column.SHARE_IN_RANGE)
UV_KILL = int(Column.UV_KILL)
FILTER_CATCH = int(Column.FILTER_CATCH)
HOUR = int(EventColumn.HOUR)
SLOT = int(EventColumn.SLOT)
INDEX = int(EventColumn.INDEX)
AGENT = int(EventColumn.AGENT)
LOW = int(ShareColumn.LOW)
MIDDLE = int(ShareColumn.MIDDLE)
HIGH = int(ShareColumn.HIGH)
HOURS = int(ShareColumn.HOURS)
RATE = int(StrongColumn.RATE)
POWER = int(StrongColumn.POWER)
LEAST = int(StrongColumn.LEAST)
MOST = int(StrongColumn.MOST)
EXCHANGE = int(Flow.EXCHANGE)
UV = int(Flow.UV)
FINE_FILTER = int(Flow.FINE_FILTER)
ALMOST_ALL = setting(1.0 - 1e-12, "a share of one would be an infinite hazard")
CENTRE = setting(0.5, "middle of a range")
LARGE = setting(40.0, "beyond exp(40) the 1 in ln(1 + x) no longer shows")


@compiled
def kill_rate(strength: Real, middle: Real, steepness: Real, hours: Real) -> Real:
    """Return the kill per hour, log-logistic at its exposure time and Chick-Watson in time.

    k = ln(1 + (C / LC50)^n) / t: after t hours at the LC50 half are dead.
    """
    if strength <= 0 or hours <= 0 or not middle > 0:
        return 0.0
    x = steepness * log(strength / middle)
    return log1p(exp(x)) / hours if x < LARGE else x / hours


@compiled
def strong_rate(strength: Real, strong: Array) -> Real:
    """Return the kill per hour of a strong bath, k = rate C^n, as far as strengths were tried.

    Weaker than was tried nothing is said; stronger acts as the strongest that was.
    """
    if strong[RATE] <= 0 or strength < strong[LEAST]:
        return 0.0
    return strong[RATE] * min(strength, strong[MOST]) ** strong[POWER]


@compiled
def _between(share: Array, where: Real) -> Real:
    if where < CENTRE:
        return share[LOW] + (share[MIDDLE] - share[LOW]) * 2 * where
    return share[MIDDLE] + (share[HIGH] - share[MIDDLE]) * (2 * where - 1)


@compiled
def _event_hazard(w: World, row: Whole, e: Whole) -> Real:
    """Return the hazard jump of one timed event in this history."""
    agent = w.event_at[e, AGENT]
    share = w.event_share[e]
    if agent >= 0:
        slot = w.event_at[e, SLOT]
        middle = w.kill_mid[row, agent, slot]
        steepness = w.kill_steep[row, agent, slot]
        hours = w.kill_hours[agent, slot]
        weak = kill_rate(share[MIDDLE], middle, steepness, hours)
        return share[HOURS] * max(weak, strong_rate(share[MIDDLE], w.strong[row, agent, slot]))
    part = min(_between(share, w.given_values[row, SHARE_IN_RANGE]), ALMOST_ALL)
    return -log1p(-part)


@compiled
def _add_residues(w: World, row: Whole, slot: Whole, body: Whole) -> None:
    """Add the kill by every agent in one body of water to the hourly rates of one slot."""
    where = w.given_values[row, IN_BRACKET]
    for agent in range(w.residue_low.shape[0]):
        hours = w.kill_hours[agent, slot]
        if hours <= 0:
            continue
        middle = w.kill_mid[row, agent, slot]
        steepness = w.kill_steep[row, agent, slot]
        before = -1.0
        rate = 0.0
        for hour in range(w.rates.size):
            low = w.residue_low[agent, body, hour]
            strength = low + where * (w.residue_high[agent, body, hour] - low)
            if strength != before:
                rate = kill_rate(strength, middle, steepness, hours)
                rate = max(rate, strong_rate(strength, w.strong[row, agent, slot]))
                before = strength
            w.rates[hour] += rate


@compiled
def _add_flows(w: World, row: Whole, body: Whole) -> None:
    uv = w.given_values[row, UV_KILL]
    caught = w.given_values[row, FILTER_CATCH]
    for hour in range(w.rates.size):
        w.rates[hour] += (
            w.flow[EXCHANGE, body, hour]
            + uv * w.flow[UV, body, hour]
            + caught * w.flow[FINE_FILTER, body, hour]
        )


@compiled
def _accumulate(rates: Array, jump: Array, cumulative: Array) -> None:
    total = 0.0
    cumulative[0] = 0.0
    for hour in range(rates.size):
        total += jump[hour] + rates[hour]
        cumulative[hour + 1] = total


@compiled
def fill_removal(w: World, row: Whole) -> None:
    """Fill cumulative hazards and jumps of every slot for one history.

    ``cumulative[h + 1] = cumulative[h] + jump[h] + rate[h]``: timed events come at the start of
    their hour, so what arrives within that hour escapes them.
    """
    w.jump[:] = 0.0
    w.host_jump[:] = 0.0
    for e in range(w.event_at.shape[0]):
        hour = w.event_at[e, HOUR]
        slot = w.event_at[e, SLOT]
        hazard = _event_hazard(w, row, e)
        if slot == 0:
            w.host_jump[w.event_at[e, INDEX], hour] += hazard
        else:
            w.jump[slot - 1, w.event_at[e, INDEX], hour] += hazard
    water = w.jump.shape[0] - 1
    for slot in range(water + 1):
        for body in range(w.jump.shape[1]):
            if w.active[slot + 1, body]:
                w.rates[:] = 0.0
                _add_residues(w, row, slot + 1, body)
                if slot == water:
                    _add_flows(w, row, body)
                _accumulate(w.rates, w.jump[slot, body], w.cumulative[slot, body])
    for group in range(w.host_jump.shape[0]):
        if w.active[0, group]:
            _fill_host(w, row, group)


@compiled
def _fill_host(w: World, row: Whole, group: Whole) -> None:
    """Follow a group of fish from body to body and add up what kills on the fish."""
    w.host_rates[:] = 0.0
    for body in range(w.volume.size):
        w.rates[:] = 0.0
        _add_residues(w, row, ZERO, body)
        for hour in range(w.rates.size):
            if w.where[group, hour] == body:
                w.host_rates[hour] = w.rates[hour]
    _accumulate(w.host_rates, w.host_jump[group], w.host_cumulative[group])
