"""The knowledge of the differential, compiled once into arrays over causes and hypotheses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from tankside.claims.diagnosis import (
    Condition,
    DiagnosisFacts,
    FindingFacts,
    LikelihoodLaw,
    PairRule,
)
from tankside.diagnose.combine import Floats, Rows, combined, responsibility

NONE = "NONE"
"""The hypothesis that nothing is wrong."""


@dataclass(frozen=True, slots=True)
class Cells:
    """One finding's table: rows are the causes, then the leak; columns its answers."""

    law: LikelihoodLaw
    baseline: int
    chance: Floats
    low: Floats
    high: Floats
    silent: tuple[int, ...]


class Answers(Mapping[str, Floats]):
    """Per finding how often each hypothesis gives each answer, shape (hypotheses, answers).

    Worked out when first asked for. Descriptors of spots are absent: one responsible cause
    explains them together (``Space.responsible``).
    """

    def __init__(
        self, cells: Mapping[str, Cells], members: Rows, base: Answers | None = None
    ) -> None:
        """Prepare the answers of the given hypotheses, those of ``base`` coming first."""
        self._cells = {n: c for n, c in cells.items() if c.law is not LikelihoodLaw.GATED}
        self._members = members
        self._base = base
        self._known: dict[str, Floats] = {}
        self._logs: dict[tuple[str, tuple[bool, ...]], Floats] = {}

    def __getitem__(self, finding: str) -> Floats:
        """Return the answers of a finding."""
        if finding not in self._known:
            cells = self._cells[finding]
            mine = combined(cells.law, cells.chance, self._members, cells.baseline)
            if self._base is not None:
                mine = np.concatenate([self._base[finding], mine])
            self._known[finding] = mine
        return self._known[finding]

    def log_of(self, finding: str, mask: tuple[bool, ...]) -> Floats:
        """Return the logarithm of the chance of a set of answers, by hypothesis."""
        key = (finding, mask)
        if key not in self._logs:
            mine = combined_log(self._cells[finding], self._members, mask)
            if self._base is not None:
                mine = np.concatenate([self._base.log_of(finding, mask), mine])
            self._logs[key] = mine
        return self._logs[key]

    def __iter__(self) -> Iterator[str]:
        """Name the findings."""
        return iter(self._cells)

    def __len__(self) -> int:
        """Count the findings."""
        return len(self._cells)


def combined_log(cells: Cells, members: Rows, mask: tuple[bool, ...]) -> Floats:
    """Return the logarithm of the chance of a set of answers, by hypothesis."""
    answer_chance = combined(cells.law, cells.chance, members, cells.baseline)
    return np.asarray(np.log(answer_chance[:, mask].sum(axis=1)))


@dataclass(frozen=True, slots=True)
class Space:
    """Sets of causes under consideration.

    Args:
        members: rows present in each hypothesis, filled up with the leak's row; shape (h, k).
        membership: 1 where a cause is in a hypothesis, shape (h, causes).
        log_prior: logarithm of the prior odds against "nothing wrong", shape (h,).
        answer_chance: how often each hypothesis gives each answer.
        responsible: chance that each member is responsible for the spots, shape (h, k).
    """

    members: Rows
    membership: Floats
    log_prior: Floats
    answer_chance: Answers
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
        visible: chance of visible spots, by row.
        exponent: weight of each finding (dependence within its block).
    """

    facts: DiagnosisFacts
    ids: tuple[str, ...]
    cells: Mapping[str, Cells]
    space: Space
    pair_log: Floats
    gate: str
    visible: Floats
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
    gates = {f.gate_finding for f in facts.findings.values() if f.law is LikelihoodLaw.GATED}
    gate = next(iter(gates), "")
    pair_log = pair_factors(ids, facts.pairs)
    listed = [row for row, c in enumerate(facts.conditions.values()) if not c.outside]
    members = members_of(len(ids), listed)
    visible = np.zeros(len(ids) + 1)
    if gate:
        visible = visible_chance(facts, gate, cells[gate].chance)
    space = build_space(members, cells, log_odds(facts.conditions), pair_log, visible)
    exponent = {
        name: facts.number(f"block_weight.{finding.block}")
        if f"block_weight.{finding.block}" in facts.numbers
        else 1.0
        for name, finding in facts.findings.items()
    }
    return Tables(facts, ids, cells, space, pair_log, gate, visible, exponent)


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
    members: Rows, cells: Mapping[str, Cells], odds: Floats, pair_log: Floats, visible: Floats
) -> Space:
    """Work out the priors of hypotheses and prepare their answers.

    Args:
        members: rows present in each hypothesis.
        cells: tables by finding.
        odds: logarithm of the prior odds of each cause.
        pair_log: logarithm of the pair factors.
        visible: chance of visible spots by row.
    """
    causes = len(odds)
    log_prior = np.append(odds, 0.0)[members].sum(axis=1)
    factor = np.pad(pair_log, ((0, 1), (0, 1)))
    for a, b in combinations(range(members.shape[1]), 2):
        log_prior = log_prior + factor[members[:, a], members[:, b]]
    membership = np.zeros((len(members), causes + 1))
    for k in range(members.shape[1]):
        membership[np.arange(len(members)), members[:, k]] = 1
    share = responsibility(visible, members)
    return Space(members, membership[:, :causes], log_prior, Answers(cells, members), share)


def widened(tables: Tables, more: Rows) -> Space:
    """Return the ordinary hypotheses followed by larger sets of causes.

    Args:
        tables: compiled knowledge.
        more: rows present in each added hypothesis.
    """
    base = tables.space
    extra = more.shape[1] - base.members.shape[1]
    added = build_space(
        more, tables.cells, log_odds(tables.facts.conditions), tables.pair_log, tables.visible
    )
    padding = ((0, 0), (0, extra))
    return Space(
        np.concatenate([np.pad(base.members, padding, constant_values=tables.leak_row), more]),
        np.concatenate([base.membership, added.membership]),
        np.concatenate([base.log_prior, added.log_prior]),
        Answers(tables.cells, more, base.answer_chance),
        np.concatenate([np.pad(base.responsible, padding), added.responsible]),
    )


def visible_chance(facts: DiagnosisFacts, gate: str, cells: Floats) -> Floats:
    """Return the chance of the gate's opening answer, by row."""
    opening = next(
        f.gate_answer
        for f in facts.findings.values()
        if f.gate_finding == gate and f.law is LikelihoodLaw.GATED
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


def _cells(facts: DiagnosisFacts, finding: FindingFacts) -> Cells:
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
        law=finding.law,
        baseline=finding.answers.index(finding.baseline_answer),
        chance=chance / chance.sum(axis=1, keepdims=True),
        low=np.array([[cell.answers[a].low for a in finding.answers] for cell in rows]),
        high=np.array([[cell.answers[a].high for a in finding.answers] for cell in rows]),
        silent=silent,
    )
