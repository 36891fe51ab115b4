"""The knowledge of the differential, compiled once into arrays over causes and hypotheses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from tankside.claims.diagnosis import Condition, DiagnosisFacts, Finding, Law, PairRule
from tankside.diagnose.combine import Floats, Rows, combined, responsibility

NONE = "NONE"
"""The hypothesis that nothing is wrong."""


@dataclass(frozen=True, slots=True)
class Cells:
    """One finding's table: rows are the causes, then the leak; columns its answers."""

    chance: Floats
    low: Floats
    high: Floats
    silent: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Space:
    """Sets of causes under consideration.

    Args:
        members: rows present in each hypothesis, filled up with the leak's row; shape (h, k).
        membership: 1 where a cause is in a hypothesis, shape (h, causes).
        log_prior: logarithm of the prior odds against "nothing wrong", shape (h,).
        given: per finding how often each hypothesis gives each answer, shape (h, answers).
            Descriptors of spots are absent: one responsible cause explains them together.
        responsible: chance that each member is responsible for the spots, shape (h, k).
    """

    members: Rows
    membership: Floats
    log_prior: Floats
    given: Mapping[str, Floats]
    responsible: Floats


@dataclass(frozen=True, slots=True)
class Tables:
    """Compiled knowledge.

    Args:
        facts: what it was compiled from.
        ids: causes in row order; the unlisted cause last. The leak's row follows them.
        cells: tables by finding.
        space: nothing wrong, the unlisted cause, every single, every pair.
        pair_log: logarithm of the pair factors, shape (causes, causes).
        gate: the finding on which the descriptors of spots hang ("" when there are none).
        exponent: weight of each finding (dependence within its block).
    """

    facts: DiagnosisFacts
    ids: tuple[str, ...]
    cells: Mapping[str, Cells]
    space: Space
    pair_log: Floats
    gate: str
    exponent: Mapping[str, float]

    @property
    def leak_row(self) -> int:
        """Row number of the leak."""
        return len(self.ids)

    def row(self, condition: str) -> int:
        """Return the row of a condition."""
        return self.ids.index(condition)


def compile_tables(facts: DiagnosisFacts) -> Tables:
    """Compile the knowledge into arrays; deterministic in the order of the facts."""
    ids = tuple(facts.conditions)
    cells = {name: _cells(facts, finding) for name, finding in facts.findings.items()}
    gates = {f.gate_finding for f in facts.findings.values() if f.law is Law.GATED}
    gate = next(iter(gates), "")
    pair_log = pair_factors(ids, facts.pairs)
    listed = [row for row, c in enumerate(facts.conditions.values()) if not c.outside]
    space = build_space(
        facts, cells, members_of(len(ids), listed), log_odds(facts.conditions), pair_log, gate
    )
    exponent = {
        name: facts.number(f"block_weight.{finding.block}")
        if f"block_weight.{finding.block}" in facts.numbers
        else 1.0
        for name, finding in facts.findings.items()
    }
    return Tables(facts, ids, cells, space, pair_log, gate, exponent)


def log_odds(conditions: Mapping[str, Condition]) -> Floats:
    """Return the logarithm of each cause's prior odds."""
    chance = np.array([c.prior.point for c in conditions.values()])
    return np.asarray(np.log(chance / (1 - chance)))


def members_of(causes: int, listed: list[int]) -> Rows:
    """Return nothing, every single cause (unlisted included) and every pair of listed ones."""
    leak = causes
    rows = [(leak, leak)]
    rows += [(row, leak) for row in range(causes)]
    rows += list(combinations(listed, 2))
    return np.array(rows, dtype=np.intp)


def build_space(
    facts: DiagnosisFacts,
    cells: Mapping[str, Cells],
    members: Rows,
    odds: Floats,
    pair_log: Floats,
    gate: str,
) -> Space:
    """Work out priors and answer chances of the given hypotheses."""
    causes = len(facts.conditions)
    padded = np.append(odds, 0.0)
    log_prior = padded[members].sum(axis=1)
    for a, b in combinations(range(members.shape[1]), 2):
        log_prior = log_prior + _padded(pair_log)[members[:, a], members[:, b]]
    membership = np.zeros((len(members), causes + 1))
    for k in range(members.shape[1]):
        membership[np.arange(len(members)), members[:, k]] = 1
    given = {
        name: combined(finding.law, cells[name].chance, members, _baseline(finding))
        for name, finding in facts.findings.items()
        if finding.law is not Law.GATED
    }
    visible = visible_chance(facts, gate, cells[gate].chance) if gate else np.zeros(causes + 1)
    return Space(
        members, membership[:, :causes], log_prior, given, responsibility(visible, members)
    )


def visible_chance(facts: DiagnosisFacts, gate: str, cells: Floats) -> Floats:
    """Return the chance of the gate's opening answer, by row."""
    opening = next(
        f.gate_answer
        for f in facts.findings.values()
        if f.gate_finding == gate and f.law is Law.GATED
    )
    return np.asarray(cells[..., facts.findings[gate].answers.index(opening)])


def pair_factors(ids: tuple[str, ...], rules: tuple[PairRule, ...]) -> Floats:
    """Return the logarithm of the factor on each pair; minus infinity excludes it."""
    factor = np.ones((len(ids), len(ids)))
    for rule in rules:
        a, b = ids.index(rule.first), ids.index(rule.second)
        factor[a, b] = factor[b, a] = rule.factor.point
    with np.errstate(divide="ignore"):
        return np.asarray(np.log(factor))


def _padded(pair_log: Floats) -> Floats:
    """Add a row and column of zeros for the leak."""
    return np.pad(pair_log, ((0, 1), (0, 1)))


def _baseline(finding: Finding) -> int:
    return finding.answers.index(finding.baseline_answer)


def _cells(facts: DiagnosisFacts, finding: Finding) -> Cells:
    """Stack the rows of one finding; a silent cause takes the baseline's row."""
    rows = [
        condition.cells.get(finding.id, finding.baseline) for condition in facts.conditions.values()
    ]
    rows.append(finding.baseline)
    silent = tuple(
        number for number, c in enumerate(facts.conditions.values()) if finding.id not in c.cells
    )
    least = facts.number("least_chance")
    chance = np.array([[cell.answers[a].point for a in finding.answers] for cell in rows])
    chance = np.maximum(chance, least)
    return Cells(
        chance=chance / chance.sum(axis=1, keepdims=True),
        low=np.array([[cell.answers[a].low for a in finding.answers] for cell in rows]),
        high=np.array([[cell.answers[a].high for a in finding.answers] for cell in rows]),
        silent=silent,
    )
