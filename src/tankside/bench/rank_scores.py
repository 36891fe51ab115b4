"""How well a ranking does on known cases: shares with intervals, proper scores, harm missed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.stats import binomtest

from tankside.bench.raw_tables import order_by_tables
from tankside.bench.vignettes import Vignette
from tankside.claims.diagnosis import Condition
from tankside.diagnose import (
    NONE,
    OUTSIDE,
    Evidence,
    Ranking,
    Tables,
    first_rows,
    in_strip,
    rank,
)

Floats = NDArray[np.float64]
TOP = 3
BINS = (0.0, 0.05, 0.1, 0.2, 1 / 3, 0.5, 2 / 3, 0.9, 0.95, 1.0)
LEAST = 1e-12
WILSON = 0.95


@dataclass(frozen=True, slots=True)
class Share:
    """A share of cases with its 95 % Wilson interval."""

    count: int
    of: int

    @property
    def value(self) -> float:
        """The share."""
        return self.count / self.of

    @property
    def interval(self) -> tuple[float, float]:
        """The Wilson interval."""
        bounds = binomtest(self.count, self.of).proportion_ci(WILSON, method="wilson")
        return float(bounds.low), float(bounds.high)


@dataclass(frozen=True, slots=True)
class Bin:
    """One row of the calibration table: how often what was said so likely was true."""

    low: float
    high: float
    said: float
    true: float
    n: int


@dataclass(frozen=True, slots=True)
class Scores:
    """Scores over a set of cases.

    Args:
        top1: first row confirmed.
        top3_any: one of the confirmed in the first three rows.
        top3_all: all of the confirmed in the first three rows.
        in_view: of confirmed dangerous causes, those in the first five rows or the strip.
        log_score: mean natural logarithm of the chance given to each confirmed cause (0 best).
        brier: mean over cases of the summed squared distance over all rows (0 best).
        log_score_prior: the same for the priors alone.
        brier_prior: the same for the priors alone.
        harm_missed: harm of confirmed causes neither in the first three rows nor in the strip,
            as a share of the harm of all confirmed causes.
        calibration: chance said against share true.
        misses: cases whose first row was wrong, with the first three rows.
        raw_top1: ``top1`` of the tables without the ranking's laws.
        raw_top3_any: ``top3_any`` of the same.
    """

    top1: Share
    top3_any: Share
    top3_all: Share
    in_view: Share | None
    log_score: float
    brier: float
    log_score_prior: float
    brier_prior: float
    harm_missed: float
    calibration: tuple[Bin, ...]
    misses: tuple[tuple[str, tuple[str, ...], tuple[str, ...]], ...]
    raw_top1: Share
    raw_top3_any: Share


def score(
    tables: Tables, cases: Sequence[Vignette], evidence: Callable[[Vignette], Evidence]
) -> Scores:
    """Score the ranking on cases.

    Args:
        tables: compiled knowledge.
        cases: the cases.
        evidence: which of a case's findings are given.
    """
    rankings = [rank(tables, evidence(case)) for case in cases]
    before = rank(tables, Evidence({}))
    orders = [ranking.order() for ranking in rankings]
    n = len(cases)
    names = before.names()
    said = np.array([[ranking.of(name) for name in names] for ranking in rankings])
    true = np.array([[name in case.confirmed for name in names] for case in cases], dtype=float)
    prior = np.array([[before.of(name) for name in names]] * n)
    pairs = list(zip(cases, orders, strict=True))
    by_tables = [(case, order_by_tables(tables, evidence(case))) for case in cases]
    return Scores(
        top1=_within(pairs, 1),
        top3_any=_within(pairs, TOP),
        top3_all=Share(sum(all(c in o[:TOP] for c in case.confirmed) for case, o in pairs), n),
        in_view=_in_view(tables, cases, rankings),
        log_score=_log_score(said, true),
        brier=float(((said - true) ** 2).sum(axis=1).mean()),
        log_score_prior=_log_score(prior, true),
        brier_prior=float(((prior - true) ** 2).sum(axis=1).mean()),
        harm_missed=_harm_missed(tables, cases, rankings),
        calibration=_calibration(said, true),
        misses=tuple(
            (case.id, case.confirmed, order[:TOP])
            for case, order in pairs
            if order[0] not in case.confirmed
        ),
        raw_top1=_within(by_tables, 1),
        raw_top3_any=_within(by_tables, TOP),
    )


def _within(pairs: Sequence[tuple[Vignette, tuple[str, ...]]], rows: int) -> Share:
    """Return in how many cases one of the confirmed causes is among the first rows."""
    there = [any(name in order[:rows] for name in case.confirmed) for case, order in pairs]
    return Share(sum(there), len(pairs))


def _log_score(said: Floats, true: Floats) -> float:
    logs = np.log(np.maximum(said, LEAST))
    return float(((logs * true).sum(axis=1) / true.sum(axis=1)).mean())


def _calibration(said: Floats, true: Floats) -> tuple[Bin, ...]:
    rows = []
    for low, high in pairwise(BINS):
        inside = (said > low) & (said <= high)
        if inside.any():
            rows.append(
                Bin(
                    low,
                    high,
                    float(said[inside].mean()),
                    float(true[inside].mean()),
                    int(inside.sum()),
                )
            )
    return tuple(rows)


def in_view(ranking: Ranking, condition: str) -> bool:
    """Whether a condition is among the first rows or in the must-not-miss strip."""
    return condition in in_strip(ranking) or condition in first_rows(ranking)


def _in_view(
    tables: Tables, cases: Sequence[Vignette], rankings: Sequence[Ranking]
) -> Share | None:
    facts = tables.facts.conditions
    seen = [
        in_view(ranking, name)
        for case, ranking in zip(cases, rankings, strict=True)
        for name in case.confirmed
        if name in facts and facts[name].cannot_miss
    ]
    return Share(sum(seen), len(seen)) if seen else None


def _harm(facts: Mapping[str, Condition], name: str) -> float:
    """Return the harm of missing a cause; of one that is not listed, the mean over the groups."""
    if name == OUTSIDE:
        return float(np.mean([c.harm_missed.point for c in facts.values() if c.outside]))
    return 0.0 if name == NONE else facts[name].harm_missed.point


def _harm_missed(tables: Tables, cases: Sequence[Vignette], rankings: Sequence[Ranking]) -> float:
    facts = tables.facts.conditions
    missed = total = 0.0
    for case, ranking in zip(cases, rankings, strict=True):
        for name in case.confirmed:
            harm = _harm(facts, name)
            total += harm
            shown = name in ranking.order()[:TOP] or name in in_strip(ranking)
            missed += 0.0 if shown else harm
    return missed / total if total else 0.0
