"""The knowledge of the differential, compiled once into arrays over causes and hypotheses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from tankside.claims.diagnosis import (
    Cell,
    Chance,
    Condition,
    DiagnosisFacts,
    FindingFacts,
    LikelihoodLaw,
    PairRule,
    Standing,
)
from tankside.claims.looking import FishKind
from tankside.diagnose.combine import Floats, Rows, combined, responsibility
from tankside.diagnose.prior import PriorRule, prior_rule, recorded

GRADED = (LikelihoodLaw.NOISY_OR, LikelihoodLaw.NOISY_MAX)
"""Laws in which no cause protects from a sign."""
NONE = "NONE"
"""The hypothesis that nothing is wrong."""


@dataclass(frozen=True, slots=True)
class Cells:
    """One finding's table: rows are the causes, the healthy fish, the leak; columns its answers.

    ``silent`` names the rows that follow another row (the leak, or the healthy fish).
    """

    law: LikelihoodLaw
    baseline: int
    chance: Floats
    low: Floats
    high: Floats
    silent: Mapping[int, int]


class Answers(Mapping[str, Floats]):
    """Per finding how often each hypothesis gives each answer, shape (hypotheses, answers).

    Worked out when first asked for. Descriptors of spots are absent: one responsible cause
    explains them together (``Space.responsible``).
    """

    def __init__(
        self, cells: Mapping[str, Cells], members: Rows, base: Answers | None = None
    ) -> None:
        """Prepare the answers of the given hypotheses, those of ``base`` coming first."""
        apart = (LikelihoodLaw.GATED, LikelihoodLaw.ODDS)
        self._cells = {n: c for n, c in cells.items() if c.law not in apart}
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
        leads: chance that a cause is the leading one of a hypothesis, shape (h, causes).
        log_prior: logarithm of the prior chance, shape (h,).
        answer_chance: how often each hypothesis gives each answer.
        responsible: chance that each member is responsible for the spots, shape (h, k).
    """

    members: Rows
    membership: Floats
    leads: Floats
    log_prior: Floats
    answer_chance: Answers
    responsible: Floats


@dataclass(frozen=True, slots=True)
class Tables:
    """Compiled knowledge.

    Args:
        facts: what it was compiled from.
        ids: causes in row order, listed ones first. The healthy fish and the leak follow them.
        cells: tables by finding.
        space: nothing wrong, every single row, every pair of listed causes.
        prior: how weights of rows become chances of sets.
        gate: the finding on which the descriptors of spots hang ("" when there are none).
        visible: chance of visible spots, by row.
        exponent: weight of each finding (dependence within its block).
    """

    facts: DiagnosisFacts
    ids: tuple[str, ...]
    cells: Mapping[str, Cells]
    space: Space
    prior: PriorRule
    gate: str
    visible: Floats
    exponent: Mapping[str, float]

    @property
    def healthy_row(self) -> int:
        """Row number of the healthy fish."""
        return len(self.ids)

    @property
    def leak_row(self) -> int:
        """Row number of the leak."""
        return len(self.ids) + 1

    def row(self, condition: str) -> int:
        """Return the row of a condition."""
        return self.ids.index(condition)


def compile_tables(facts: DiagnosisFacts) -> Tables:
    """Compile the knowledge into arrays; deterministic in the order of the facts."""
    ids = tuple(facts.conditions)
    cells = {name: _cells(facts, finding) for name, finding in facts.findings.items()}
    gates = {f.gate_finding for f in facts.findings.values() if f.law is LikelihoodLaw.GATED}
    gate = next(iter(gates), "")
    prior = prior_rule(
        facts.conditions,
        pair_factors(ids, facts.pairs),
        healthy=facts.number("prior.healthy"),
        second=facts.number("prior.second"),
    )
    listed = [row for row, c in enumerate(facts.conditions.values()) if c.listed]
    members = members_of(len(ids), listed)
    visible = np.zeros(len(ids) + 2)
    if gate:
        visible = visible_chance(facts, gate, cells[gate].chance)
    space = build_space(members, cells, recorded(facts.conditions), prior, visible)
    exponent = {
        name: facts.number(f"block_weight.{finding.block}")
        if f"block_weight.{finding.block}" in facts.numbers
        else 1.0
        for name, finding in facts.findings.items()
    }
    return Tables(facts, ids, cells, space, prior, gate, visible, exponent)


def members_of(causes: int, listed: list[int]) -> Rows:
    """Return the healthy fish, every single row and every pair of listed causes."""
    healthy, leak = causes, causes + 1
    rows = [(healthy, leak)]
    rows += [(row, leak) for row in range(causes)]
    rows += list(combinations(listed, 2))
    return np.array(rows, dtype=np.intp)


def build_space(
    members: Rows, cells: Mapping[str, Cells], chance: Floats, prior: PriorRule, visible: Floats
) -> Space:
    """Work out the priors of hypotheses and prepare their answers.

    Args:
        members: rows present in each hypothesis.
        cells: tables by finding.
        chance: prior of each cause as recorded.
        prior: how weights of rows become chances of sets.
        visible: chance of visible spots by row.
    """
    causes = len(chance)
    membership = np.zeros((len(members), causes + 2))
    leads = np.zeros((len(members), causes + 2))
    first = prior.lead_share(chance, members)
    for k in range(members.shape[1]):
        membership[np.arange(len(members)), members[:, k]] = 1
        leads[np.arange(len(members)), members[:, k]] += first[:, k]
    return Space(
        members,
        membership[:, :causes],
        leads[:, :causes],
        prior.log_sets(chance, members),
        Answers(cells, members),
        responsibility(visible, members),
    )


def widened(tables: Tables, more: Rows) -> Space:
    """Return the ordinary hypotheses followed by larger sets of causes.

    Args:
        tables: compiled knowledge.
        more: rows present in each added hypothesis.
    """
    base = tables.space
    extra = more.shape[1] - base.members.shape[1]
    added = build_space(
        more, tables.cells, recorded(tables.facts.conditions), tables.prior, tables.visible
    )
    padding = ((0, 0), (0, extra))
    return Space(
        np.concatenate([np.pad(base.members, padding, constant_values=tables.leak_row), more]),
        np.concatenate([base.membership, added.membership]),
        np.concatenate([base.leads, added.leads]),
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
    """Return the factor on each pair of causes; 0 excludes it."""
    factor = np.ones((len(ids), len(ids)))
    for rule in rules:
        a, b = ids.index(rule.first), ids.index(rule.second)
        factor[a, b] = factor[b, a] = rule.factor.point
    return factor


def _cells(facts: DiagnosisFacts, finding: FindingFacts) -> Cells:
    """Stack the rows of one finding; a silent cause takes the leak's row, a state the healthy."""
    if finding.law is LikelihoodLaw.ODDS:
        return _odds_cells(facts, finding)
    leak, healthy = finding.baseline, finding.healthy or finding.baseline
    causes = facts.conditions.values()
    healthy_row, leak_row = len(causes), len(causes) + 1
    spoken = [c.cells.get(finding.id) or from_coarse(facts, finding, c) for c in causes]
    rows = [
        cell or (healthy if c.standing is Standing.STATE else leak)
        for cell, c in zip(spoken, causes, strict=True)
    ]
    rows += [healthy, leak]
    silent = {
        number: healthy_row if c.standing is Standing.STATE else leak_row
        for number, (cell, c) in enumerate(zip(spoken, causes, strict=True))
        if cell is None
    }
    if finding.healthy is None:
        silent[healthy_row] = leak_row
    least = facts.number("least_chance")
    point, low, high = (
        np.array([[getattr(cell.answers[a], edge) for a in finding.answers] for cell in rows])
        for edge in ("point", "low", "high")
    )
    chance = np.maximum(point, least)
    return Cells(
        law=finding.law,
        baseline=finding.answers.index(finding.baseline_answer),
        chance=chance / chance.sum(axis=1, keepdims=True),
        low=low,
        high=high,
        silent=silent,
    )


def from_coarse(facts: DiagnosisFacts, finding: FindingFacts, cause: Condition) -> Cell | None:
    """Return the row of a cause that speaks only of the coarser question, None for a silent one.

    Each fine answer keeps the weight of evidence of the coarse answer it implies:
    P(fine, cause) = P(fine, leak) * P(coarse, cause) / P(coarse, leak).

    Args:
        facts: what the differential knows.
        finding: the finer question.
        cause: the cause.
    """
    form = finding.fine_of
    coarse = cause.cells.get(form.finding) if form is not None and form.read_out else None
    if form is None or coarse is None:
        return None
    leak = facts.findings[form.finding].baseline
    most = facts.number("fine_most")
    points = {}
    for answer in finding.answers:
        implied = form.answers.get(answer, ())
        here = sum(coarse.answers[a].point for a in implied)
        there = sum(leak.answers[a].point for a in implied)
        factor = here / there if there > 0 else 1.0
        if finding.law in GRADED:
            factor = max(1.0, factor)
        points[answer] = finding.baseline.answers[answer].point * factor
    baseline = finding.baseline_answer
    if baseline not in form.answers:
        others = sum(points.values()) - points[baseline]
        shrink = min(1.0, most / others) if others > 0 else 1.0
        points = {a: p * shrink for a, p in points.items()}
        points[baseline] = 1 - (sum(points.values()) - points[baseline])
    total = sum(points.values())
    answers = {
        a: Chance(p / total, p / total / 2, min(1.0, 2 * p / total)) for a, p in points.items()
    }
    return Cell(finding.id, answers, coarse.sources, coarse.provenance, coarse.note)


def _odds_cells(facts: DiagnosisFacts, finding: FindingFacts) -> Cells:
    """Stack the factors of one finding on the odds: per kind of fish, else those of its group."""
    causes = facts.conditions.values()
    edges = []
    for edge in ("factor", "low", "high"):
        rows = [[_factor(facts, c, facts.kinds[k], edge) for k in finding.answers] for c in causes]
        rows += [[1.0] * len(finding.answers)] * 2
        edges.append(np.array(rows))
    return Cells(finding.law, 0, edges[0], edges[1], edges[2], {})


def _factor(facts: DiagnosisFacts, cause: Condition, kind: FishKind, edge: str) -> float:
    """Return one factor; a cause that names no kind takes what its row says of the group."""
    odds = kind.odds.get(cause.id)
    if odds is not None:
        recorded_factor = float(getattr(odds, edge))
        most = facts.number("spared_factor") if odds.spared else recorded_factor
        return min(recorded_factor, most)
    question, _, answer = kind.group.partition("=")
    cell = cause.cells.get(question)
    if cell is None:
        return 1.0
    least = facts.number("least_chance")
    leak = facts.findings[question].baseline.answers[answer].point
    return max(cell.answers[answer].point, least) / leak
