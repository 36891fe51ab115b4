"""How likely each set of causes is before anything was seen: one leads, then perhaps a second.

One row leads: a healthy fish, a state, a group of causes not listed, or a listed cause; these
chances sum to 1. A listed cause is joined by a second one with a set chance, spread over the
listed causes by their own weights and the pair factors, so that it sums to 1 given the first.
A set can have come about in either order.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from tankside.claims.cited import setting
from tankside.claims.diagnosis import Condition
from tankside.diagnose.combine import Floats, Rows

MOST_ELSEWHERE = setting(0.95, "redrawn shares of rows that are no listed cause leave it a place")


@dataclass(frozen=True, slots=True)
class PriorRule:
    """What turns the weights of rows into the chances of sets.

    Args:
        listed: which rows are listed causes, shape (causes,).
        pair: factor on each pair of listed causes, 0 where they exclude each other.
        healthy: share of presented fish with nothing wrong.
        second: chance that a leading cause is joined by a second.
    """

    listed: NDArray[np.bool_]
    pair: Floats
    healthy: float
    second: float

    def shares(self, chance: Floats) -> Floats:
        """Return the chance that each row leads, a healthy fish's last.

        Listed causes are scaled to what the other rows leave.

        Args:
            chance: prior of each row as recorded, shape (..., causes).
        """
        elsewhere = self.healthy + (chance * ~self.listed).sum(axis=-1, keepdims=True)
        room = np.maximum(1 - elsewhere, 1 - MOST_ELSEWHERE)
        weight = chance * self.listed
        scaled = weight * room / weight.sum(axis=-1, keepdims=True)
        led = np.where(self.listed, scaled, chance)
        return np.concatenate([led, np.full((*led.shape[:-1], 1), self.healthy)], axis=-1)

    def log_sets(self, chance: Floats, members: Rows) -> Floats:
        """Return the logarithm of the chance of each set.

        Args:
            chance: prior of each row as recorded, shape (..., causes).
            members: rows present, those of a set first, filled up with a row past the healthy one.
        """
        led = self.shares(chance)
        log_led = np.concatenate([np.log(led), np.zeros((*led.shape[:-1], 1))], axis=-1)
        size = (members <= len(self.listed)).sum(axis=1)
        alone = self._alone()
        total = log_led[..., members].sum(axis=-1) + np.where(size == 1, alone[members[:, 0]], 0.0)
        for count in range(2, members.shape[1] + 1):
            of_size = size == count
            if of_size.any():
                total[..., of_size] += self._log_joined(led, members[of_size, :count])
        return np.asarray(total)

    def lead_share(self, chance: Floats, members: Rows) -> Floats:
        """Return the chance that each member of a set is the leading one, shape (sets, k)."""
        share = np.zeros(members.shape)
        share[:, 0] = 1
        size = (members <= len(self.listed)).sum(axis=1)
        for count in range(2, members.shape[1] + 1):
            rows = members[size == count, :count]
            if len(rows):
                orders = self._orders(self.shares(chance), rows)
                by_first = np.zeros(rows.shape)
                for order, odds in orders:
                    by_first[:, order[0]] += odds
                total = by_first.sum(axis=1, keepdims=True)
                even = np.full(rows.shape, 1 / count)
                share[size == count, :count] = np.divide(by_first, total, out=even, where=total > 0)
        return share

    def _alone(self) -> Floats:
        """Return the logarithm of the chance that a row which leads is joined by none."""
        joined = np.where(self.listed & (self.pair.sum(axis=1) > 0), self.second, 0.0)
        return np.asarray(np.log1p(-np.append(joined, (0.0, 0.0))))

    def _log_joined(self, led: Floats, rows: Rows) -> Floats:
        """Return what several listed causes together add to the product of their own chances."""
        odds = sum(odds for _, odds in self._orders(led, rows))
        factor = np.ones(len(rows))
        for first in range(rows.shape[1]):
            for after in range(first + 1, rows.shape[1]):
                factor = factor * self.pair[rows[:, first], rows[:, after]]
        with np.errstate(divide="ignore"):
            together = np.log(odds) + np.log(factor)
        return np.asarray(together + (rows.shape[1] - 1) * np.log(self.second))

    def _orders(self, led: Floats, rows: Rows) -> list[tuple[tuple[int, ...], Floats]]:
        """Return, for each order in which a set can come about, one over its normalisers."""
        listed = led[..., :-1] * self.listed
        by_order: list[tuple[tuple[int, ...], Floats]] = []
        for order in permutations(range(rows.shape[1])):
            odds: Floats = np.ones((*led.shape[:-1], len(rows)))
            factor: Floats = np.ones((len(rows), len(self.listed)))
            for place in order[:-1]:
                factor = factor * self.pair[rows[:, place]]
                among = listed @ factor.T
                odds = np.divide(odds, among, out=np.zeros_like(odds), where=among > 0)
            by_order.append((order, odds))
        return by_order


def prior_rule(
    conditions: Mapping[str, Condition], pair: Floats, *, healthy: float, second: float
) -> PriorRule:
    """Return the rule for these conditions.

    Args:
        conditions: rows in order.
        pair: factor on each pair, shape (causes, causes).
        healthy: share of presented fish with nothing wrong.
        second: chance that a leading cause is joined by a second.
    """
    listed = np.array([c.listed for c in conditions.values()], dtype=bool)
    both = pair * listed[:, None] * listed[None, :]
    np.fill_diagonal(both, 0.0)
    return PriorRule(listed, both, healthy, second)


def recorded(conditions: Mapping[str, Condition]) -> Floats:
    """Return the priors as recorded, by row."""
    return np.array([c.prior.point for c in conditions.values()])
