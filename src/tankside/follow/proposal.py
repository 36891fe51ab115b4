"""Where to look for histories that explain the counts: starting states, narrowed to what fits.

An outbreak may be old (ages spread evenly, cysts below) or one wave (all about the same age).
Each is tried; the burdens of those that fit are narrowed, and every history played from a
narrowed range carries the ratio of the two densities, so that narrowing changes nobody's belief.
Claims are narrowed too: a row of claim values outside the box of what fits is not played, and the
share of rows inside is what the box was believed before.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting
from tankside.lifecycle import Draws, Histories, InitialState
from tankside.lifecycle.inputs.types import Range
from tankside.lifecycle.results.weighted import effective, quantiles

Floats = NDArray[np.float64]

_EDGES = (
    setting(0.02, "low edge of what fits"),
    setting(0.5, "middle"),
    setting(0.98, "high edge"),
)
_ROOM = setting(1.5, "room left on both sides of what was found to fit")
_SPARE = setting(16.0, "effective histories from which a range is narrowed")
_STEPS = setting(0.7, "each step towards even weights")
_DIFFERENT = setting(0.3, "below it 16 effective histories differ from the plain ones by chance")
_FEWEST = setting(64.0, "rows of claim values that must remain")
_KEY = "per_fish."


@dataclass(frozen=True, slots=True)
class Proposal:
    """One kind of beginning from which histories are played.

    Args:
        start: the ranges histories are drawn from.
        origin: the ranges that are believed (equal to ``start`` until narrowed).
        prior: how much this kind of beginning is believed before the counts.
        share: share of the histories that are played from it.
        claims: rows of claim values to play with.
        mass: share of all rows that these are.
    """

    start: InitialState
    origin: InitialState
    prior: float
    share: float
    claims: Draws
    mass: float = 1.0

    def rows(self, number: int, histories: int) -> Draws:
        """Return claim values for one round, other rows in another round as far as there are."""
        count = len(self.claims.weights)
        places = (np.arange(histories) + number * histories) % count
        return replace(
            self.claims, values=self.claims.values[places], weights=self.claims.weights[places]
        )

    def offset(self, histories: Histories) -> Floats:
        """Return the log of what each history must be weighed with for being played from here."""
        constant = np.log(self.prior) + np.log(self.mass) - np.log(self.share)
        total = np.full(len(histories.weights), constant)
        for group, drawn_from in self.start.per_fish.items():
            posterior_range = self.origin.per_fish[group]
            if drawn_from != posterior_range:
                values = histories.draws.column(_KEY + group)
                total += log_density(posterior_range, values) - log_density(drawn_from, values)
        weighed: Floats = total
        return weighed


def log_density(limits: Range, values: Floats) -> Floats:
    """Return the log density, over log burden, of a range half below its point, half above."""
    low, point, high = limits
    below, above = np.log(point / low), np.log(high / point)
    with np.errstate(divide="ignore"):
        heights = np.log(np.asarray([_height(below), _height(above)]))
    inside = (values >= low * (1 - _TINY)) & (values <= high * (1 + _TINY))
    density: Floats = np.where(inside, np.where(values < point, heights[0], heights[1]), -np.inf)
    return density


def _height(width: float) -> float:
    return 1 / (2 * width) if width > 0 else 0.0


_TINY = setting(1e-9, "rounding at the edge of a range")


def narrowed(proposal: Proposal, histories: Histories, log_likelihood: Floats) -> Proposal:
    """Return a proposal whose burdens are narrowed to what fits the counts."""
    weights = softened(log_likelihood)
    per_fish: dict[str, Range] = {}
    for group, limits in proposal.origin.per_fish.items():
        values = histories.draws.column(_KEY + group)
        low, middle, high = quantiles(values, weights, _EDGES)
        per_fish[group] = _inside(limits, low / _ROOM, middle, high * _ROOM)
    start: InitialState = replace(proposal.origin, per_fish=per_fish)
    claims, mass = _boxed(proposal, histories, weights)
    return replace(proposal, start=start, claims=claims, mass=mass)


def _boxed(proposal: Proposal, histories: Histories, weights: Floats) -> tuple[Draws, float]:
    """Return the rows of claim values inside the box of what fits, and their share of all."""
    rows = proposal.claims
    inside = np.ones(len(rows.weights), dtype=np.bool_)
    for place, key in enumerate(rows.keys):
        values = histories.draws.column(key)
        if not _told_apart(values, weights):
            continue
        low, _, high = quantiles(values, weights, _EDGES)
        column = rows.values[:, place]
        tried = inside & (column >= low) & (column <= high)
        if tried.sum() >= _FEWEST:
            inside = tried
    share = float(inside.mean())
    kept = replace(rows, values=rows.values[inside], weights=rows.weights[inside])
    return kept, proposal.mass * share


def _told_apart(values: Floats, weights: Floats) -> bool:
    """Whether the counts say anything about a claim: weighted and plain shares differ widely."""
    order = np.argsort(values, kind="stable")
    heaped = np.cumsum(weights[order]) / weights.sum()
    plain = np.arange(1, len(values) + 1) / len(values)
    return bool(np.abs(heaped - plain).max() > _DIFFERENT)


def _inside(limits: Range, low: float, middle: float, high: float) -> Range:
    low, high = max(limits[0], low), min(limits[2], high)
    return limits if not low < middle < high else (low, middle, high)


def softened(log_likelihood: Floats) -> Floats:
    """Return weights from a likelihood, flattened until enough histories count."""
    power = 1.0
    top = float(log_likelihood.max())
    if not np.isfinite(top):
        return np.ones(len(log_likelihood))
    weights: Floats = np.exp(log_likelihood - top)
    while effective(weights) < min(_SPARE, len(weights)) and power > _TINY:
        power *= _STEPS
        weights = np.exp(power * (log_likelihood - top))
    return weights


def allotted(evidence: Mapping[int, float], least: float) -> dict[int, float]:
    """Return shares of the histories by kind of beginning, in proportion to the evidence.

    Kinds with next to no evidence are dropped; the others get at least ``least``.
    """
    total = sum(evidence.values())
    kept = {kind: e / total for kind, e in evidence.items() if total > 0 and e / total >= least}
    if not kept:
        kept = dict.fromkeys(evidence, 1 / len(evidence))
    raised = {kind: max(share, 2 * least) for kind, share in kept.items()}
    whole = sum(raised.values())
    return {kind: share / whole for kind, share in raised.items()}
