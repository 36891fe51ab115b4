"""The whole ranking: singles and pairs first, triples only when a pair leaves a riddle."""

from __future__ import annotations

import numpy as np

from tankside.claims.diagnosis import LikelihoodLaw
from tankside.diagnose.combine import Rows
from tankside.diagnose.evidence import Evidence
from tankside.diagnose.ranking import Ranking, rank_in
from tankside.diagnose.tables import Tables, widened


def rank(tables: Tables, evidence: Evidence) -> Ranking:
    """Rank nothing wrong, the unlisted cause, every single cause and every pair.

    When the likeliest set, being a pair, leaves a strongly positive specific finding
    unexplained, the triples that add a cause of that finding are ranked as well.

    Args:
        tables: compiled knowledge.
        evidence: what was seen.

    Raises:
        BadInput: a finding or an answer is not known.
    """
    ranking = rank_in(tables, evidence, tables.space)
    third = _triples(ranking)
    if not len(third):
        return ranking
    return rank_in(tables, evidence, widened(tables, third), triples=True)


def explained_by(ranking: Ranking, hypothesis: int, finding: str) -> float:
    """Return how many times likelier a set of causes makes the answer than the leak does."""
    mask = np.array(ranking.masks[finding])
    likely = ranking.space.answer_chance[finding][hypothesis, mask].sum()
    return float(likely / ranking.tables.cells[finding].chance[-1, mask].sum())


def unexplained(ranking: Ranking) -> tuple[str, ...]:
    """Return the findings that the likeliest set of causes leaves unexplained.

    A finding is listed when its answer excludes the baseline and the set makes it less than
    ``explains_factor`` times likelier than the leak does. Context is not a finding to explain.
    """
    best = int(np.argmax(ranking.chance))
    factor = ranking.tables.facts.number("explains_factor")
    return tuple(name for name in _positive(ranking) if explained_by(ranking, best, name) < factor)


def riddles(ranking: Ranking) -> tuple[str, ...]:
    """Return the unexplained findings that a bystander rarely brings.

    Their answer has less than ``riddle_below`` chance under the likeliest set.
    """
    best = int(np.argmax(ranking.chance))
    least = ranking.tables.facts.number("riddle_below")
    return tuple(
        name
        for name in unexplained(ranking)
        if ranking.space.answer_chance[name][best, np.array(ranking.masks[name])].sum() < least
    )


def _positive(ranking: Ranking) -> tuple[str, ...]:
    """Return the informative graded or nominal signs whose answers exclude the baseline."""
    findings = ranking.tables.facts.findings
    graded = (LikelihoodLaw.NOISY_OR, LikelihoodLaw.NOISY_MAX, LikelihoodLaw.SHARED)
    return tuple(
        name
        for name, mask in ranking.masks.items()
        if findings[name].law in graded
        and not mask[findings[name].answers.index(findings[name].baseline_answer)]
    )


def _triples(ranking: Ranking) -> Rows:
    """Return the triples worth ranking: the leading pair with a cause of what it leaves open."""
    tables = ranking.tables
    best = int(np.argmax(ranking.chance))
    pair = ranking.space.members[best]
    none = np.empty((0, 1), dtype=np.intp)
    if len(ranking.members(best)) < 2:
        return none
    least = tables.facts.number("specific_factor")
    adding: set[int] = set()
    for name in unexplained(ranking):
        mask = np.array(ranking.masks[name])
        chance = tables.cells[name].chance[:, mask].sum(axis=1)
        adding |= {int(row) for row in np.flatnonzero(chance >= least * chance[-1])}
    if not adding:
        return none
    listed = {r for r, c in enumerate(tables.facts.conditions.values()) if c.listed}
    rows = sorted((adding & listed) - {int(row) for row in pair})
    return np.array([[*pair, row] for row in rows], dtype=np.intp) if rows else none
