"""How far the answer moves when every uncertain figure is redrawn inside its range."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims.cited import setting, whole_setting
from tankside.claims.diagnosis import OUTSIDE, LikelihoodLaw
from tankside.diagnose.combine import Floats, combined, responsibility
from tankside.diagnose.evidence import Evidence
from tankside.diagnose.likeness import hidden_share
from tankside.diagnose.prior import recorded
from tankside.diagnose.rank import riddles
from tankside.diagnose.ranking import ON_THE_ODDS, Ranking, log_ratio, narrowed, normalised
from tankside.diagnose.tables import Tables, visible_chance

LOW_EDGE = setting(0.05, "bands hold the middle nine tenths of the redraws")
HIGH_EDGE = setting(0.95, "bands hold the middle nine tenths of the redraws")
SETS = whole_setting(500, "sets of several causes redrawn at most; the others hold next to nothing")
CHUNK = whole_setting(125, "redraws worked on at once; keeps the arrays inside the cache")


@dataclass(frozen=True, slots=True)
class Bands:
    """Bands of the chances over the redraws.

    Args:
        edges: low and high edge by cause, ``NONE`` included.
        first: share of redraws in which each cause comes first, ``NONE`` included.
        redraws: how many redraws.
    """

    edges: Mapping[str, tuple[float, float]]
    first: Mapping[str, float]
    redraws: int


def bands(ranking: Ranking, chance: np.random.Generator, redraws: int) -> Bands:
    """Redraw priors and cells inside their ranges and rank again.

    Every cell is drawn from a triangle over its range with its top at the estimate, and the
    answers of a cell are scaled to sum to one. A silent cell follows the redrawn leak, so that
    it stays silent. Priors are drawn in the same way on the logarithm of their odds.

    The structure is uncertain too. Known look-alikes that are not on the list may claim their
    share of a cause's chance, and where the likeliest set leaves a rare sign unexplained so may all
    that is not listed; how much of it they claim is drawn evenly from none to all, and what they
    take goes to "not on the list". The figures themselves stay as they are.

    Args:
        ranking: the ranking whose hypotheses are weighed again.
        chance: stream of random numbers.
        redraws: how many.
    """
    held = narrowed(ranking, SETS)
    parts = []
    left = redraws
    while left > 0:
        now = min(left, CHUNK)
        parts.append(_redraw(held, chance, now))
        left -= now
    all_of = np.concatenate(parts)
    all_of = _with_structure(ranking, chance, all_of)
    names = ranking.names()
    low, high = np.quantile(all_of, (LOW_EDGE, HIGH_EDGE), axis=0)
    leaders = np.bincount(all_of.argmax(axis=1), minlength=len(names)) / redraws
    return Bands(
        {name: (float(low[k]), float(high[k])) for k, name in enumerate(names)},
        {name: float(leaders[k]) for k, name in enumerate(names)},
        redraws,
    )


def _with_structure(ranking: Ranking, chance: np.random.Generator, drawn: Floats) -> Floats:
    """Return the redrawn chances with what causes that are not listed may claim of them."""
    names, tables = ranking.names(), ranking.tables
    share = np.zeros(len(names))
    hidden = hidden_share(tables)
    led = tables.prior.shares(recorded(tables.facts.conditions))
    outside = sum(led[tables.row(group)] for group in ranking.groups())
    best = ranking.members(int(np.argmax(ranking.chance))) if riddles(ranking) else ()
    for place, name in enumerate(names):
        if name not in tables.ids or not tables.facts.conditions[name].listed:
            continue
        row = tables.row(name)
        left_over = outside / (outside + led[row]) if name in best else 0.0
        share[place] = max(hidden[row], left_over)
    claimed = drawn * share * chance.random((len(drawn), 1))
    after = drawn - claimed
    if OUTSIDE in names:
        after[:, names.index(OUTSIDE)] += claimed.sum(axis=1)
    return np.minimum(after, 1.0)


def _redraw(ranking: Ranking, chance: np.random.Generator, count: int) -> Floats:
    """Return the chances of the rows of the ranking, for each redraw."""
    tables, space = ranking.tables, ranking.space
    prior = tables.facts.conditions.values()
    low, top, high = (
        _logit(np.array([getattr(c.prior, edge) for c in prior]))
        for edge in ("low", "point", "high")
    )
    odds = _triangle(chance.random((count, len(prior))), low, top, high)
    weight = tables.prior.log_sets(1 / (1 + np.exp(-odds)), space.members)
    profile = None
    drawn_gate = None
    for name in ranking.masks:
        cells = _draw(tables, name, chance, count)
        law = tables.facts.findings[name].law
        if name == tables.gate:
            drawn_gate = cells
        if law is LikelihoodLaw.GATED:
            row = _exponent(tables, ranking.evidence, name) * np.log(
                cells[..., np.array(ranking.masks[name])].sum(axis=-1)
            )
            profile = row if profile is None else profile + row
        else:
            weight += _step(ranking, name, cells)
    if profile is not None and drawn_gate is not None:
        visible = visible_chance(tables.facts, tables.gate, drawn_gate)
        share = responsibility(visible, space.members)
        weight += np.log((share * np.exp(profile)[:, space.members]).sum(axis=-1))
    posterior = normalised(weight)
    return np.asarray(posterior @ ranking.presence())


def _step(ranking: Ranking, name: str, cells: Floats) -> Floats:
    """Return what a finding adds to the log-weight in each redraw; like ``ranking.step``."""
    tables, members = ranking.tables, ranking.space.members
    finding = tables.facts.findings[name]
    mask = np.array(ranking.masks[name])
    weight = _exponent(tables, ranking.evidence, name)
    if finding.law in ON_THE_ODDS:
        ratio = log_ratio(tables, ranking.evidence, name, cells, mask)
        return np.asarray(weight * ratio[:, members].sum(axis=-1))
    baseline = finding.answers.index(finding.baseline_answer)
    answer_chance = combined(finding.law, cells, members, baseline)
    return np.asarray(weight * np.log(answer_chance[..., mask].sum(axis=-1)))


def _exponent(tables: Tables, evidence: Evidence, name: str) -> float:
    weight = tables.exponent[name] * evidence.weights.get(name, 1.0)
    if name in evidence.unconfirmed and tables.facts.findings[name].law in ON_THE_ODDS:
        weight *= tables.facts.number("unconfirmed_power")
    return weight


def _draw(tables: Tables, name: str, chance: np.random.Generator, count: int) -> Floats:
    """Return redrawn cells of one finding, shape (count, rows, answers)."""
    cells = tables.cells[name]
    drawn = _triangle(
        chance.random((count, *cells.chance.shape)), cells.low, cells.chance, cells.high
    )
    if cells.law is LikelihoodLaw.ODDS:
        return drawn
    drawn = np.maximum(drawn, tables.facts.number("least_chance"))
    drawn /= drawn.sum(axis=-1, keepdims=True)
    for follower, followed in sorted(cells.silent.items(), reverse=True):
        drawn[:, follower, :] = drawn[:, followed, :]
    return drawn


def _triangle(uniform: NDArray[np.float64], low: Floats, top: Floats, high: Floats) -> Floats:
    """Return draws from triangles over [low, high] with their tops at ``top``."""
    low, high = np.minimum(low, top), np.maximum(high, top)
    width = np.where(high > low, high - low, 1)
    knee = (top - low) / width
    rising = low + np.sqrt(uniform * width * (top - low))
    falling = high - np.sqrt((1 - uniform) * width * (high - top))
    return np.asarray(np.where(uniform < knee, rising, falling))


def _logit(chance: Floats) -> Floats:
    return np.asarray(np.log(chance / (1 - chance)))
