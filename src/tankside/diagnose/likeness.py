"""What cannot be told apart, and what was seen without being to blame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tankside.claims.diagnosis import Condition, Role
from tankside.claims.looking import Twin
from tankside.diagnose.combine import Floats
from tankside.diagnose.rank import unexplained
from tankside.diagnose.ranking import ON_THE_ODDS, Ranking
from tankside.diagnose.tables import Tables


@dataclass(frozen=True, slots=True)
class LooksAlike:
    """Two causes that no finding still open would part.

    Args:
        condition: a likely listed cause.
        other: the one that looks like it: a listed id, or the name of a cause that is not listed.
        listed: whether the other is on the list.
        parted_by: the test or sign that would part them, in words ("" when none is recorded).
    """

    condition: str
    other: str
    listed: bool
    parted_by: str


@dataclass(frozen=True, slots=True)
class AlsoSeen:
    """An organism or sign that is there without being the cause.

    Args:
        finding: identifier.
        answers: what was answered.
        condition: the cause it would speak for most.
        chance: the chance of that cause all the same.
    """

    finding: str
    answers: tuple[str, ...]
    condition: str
    chance: float


def hidden_twins(tables: Tables, condition: Condition) -> tuple[Twin, ...]:
    """Return the known look-alikes of a listed cause that are not on the list."""
    return tuple(
        twin
        for twin in tables.facts.twins
        if twin.id not in tables.facts.conditions and condition.id in twin.looks_like
    )


def hidden_share(tables: Tables) -> Floats:
    """Return, by row, the share of a cause's weight that its hidden look-alikes may claim.

    Weight of the look-alikes over that of the cause and them, since all explain alike.
    """
    shares = []
    for condition in tables.facts.conditions.values():
        weight = sum(twin.weight for twin in hidden_twins(tables, condition))
        shares.append(weight / (condition.prior.point + weight) if condition.listed else 0.0)
    return np.array(shares)


def looks_alike(ranking: Ranking) -> tuple[LooksAlike, ...]:
    """Return the pairs among the first rows that no open finding parts, and hidden look-alikes.

    A finding parts two causes when some answer is ``specific_factor`` times likelier under one.
    Look-alikes that are not listed are told of the likeliest listed cause, from about even up.
    """
    tables = ranking.tables
    facts = tables.facts
    least = facts.number("alike_least")
    listed = [n for n in ranking.order() if n in facts.conditions and facts.conditions[n].listed]
    near = [name for name in listed[: int(facts.number("rows_first"))] if ranking.of(name) > least]
    alike = [
        LooksAlike(first, second, True, _test(tables, first, second))
        for place, first in enumerate(near)
        for second in near[place + 1 :]
        if not _parted(ranking, first, second)
    ]
    if near:
        alike += [
            LooksAlike(near[0], twin.name, False, twin.parted_by)
            for twin in hidden_twins(tables, facts.conditions[near[0]])
        ]
    return tuple(alike)


def _parted(ranking: Ranking, first: str, second: str) -> bool:
    """Whether a finding still open would part two causes that stand alone."""
    tables = ranking.tables
    limit = np.log(tables.facts.number("specific_factor"))
    rows = [tables.row(first), tables.row(second)]
    for name, finding in tables.facts.findings.items():
        if name in ranking.masks or finding.law in ON_THE_ODDS or not finding.looked_for:
            continue
        chance = tables.cells[name].chance[rows]
        if np.abs(np.log(chance[0] / chance[1])).max() >= limit:
            return True
    return False


def _test(tables: Tables, first: str, second: str) -> str:
    """Return what is recorded to part two listed causes."""
    pairs = ((first, second), (second, first))
    for twin, other in pairs:
        for recorded in tables.facts.twins:
            if recorded.id == twin and other in recorded.looks_like:
                return recorded.parted_by
    tests = (tables.facts.conditions[name].looks.get("confirmatory_test", "") for name in pairs[0])
    return "; ".join(dict.fromkeys(test for test in tests if test))


def also_seen(ranking: Ranking) -> tuple[AlsoSeen, ...]:
    """Return what was found under the microscope or in the body that the likeliest set leaves over.

    Carriage is not guilt: an organism in small number is listed here, not among the causes.
    """
    tables = ranking.tables
    facts = tables.facts
    listed = [row for row, c in enumerate(facts.conditions.values()) if c.listed]
    seen = []
    for name in unexplained(ranking):
        finding = facts.findings[name]
        if finding.role not in (Role.MICROSCOPY, Role.NECROPSY, Role.LABORATORY):
            continue
        mask = np.array(ranking.masks[name])
        cells = tables.cells[name]
        best = min(listed, key=lambda row: float(cells.chance[row, cells.baseline]))
        answers = tuple(a for a, kept in zip(finding.answers, mask, strict=True) if kept)
        cause = tables.ids[best]
        seen.append(AlsoSeen(name, answers, cause, ranking.of(cause)))
    return tuple(seen)
