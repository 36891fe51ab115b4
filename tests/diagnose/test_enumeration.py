"""The ranking against the definition, written out cause by cause and answer by answer.

Source of the laws: Diez 1993 (generalized noisy-OR), Pradhan et al. 1994 (noisy-MAX with leak);
context on the prior odds, one responsible cause for a spot, and the equal mixture of the course
are this project's own definitions (docs/differential.md).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import combinations

import numpy as np
import pytest

from tankside.claims.diagnosis import DiagnosisFacts, LikelihoodLaw
from tankside.diagnose import NONE, Evidence, compile_tables, rank


def row(facts: DiagnosisFacts, cause: str | None, finding: str) -> list[float]:
    """Chances of a finding's answers for one cause; None is the leak. A silent cell is the leak."""
    asked = facts.findings[finding]
    cell = (
        asked.baseline
        if cause is None
        else facts.conditions[cause].cells.get(finding, asked.baseline)
    )
    points = [cell.answers[a].point for a in asked.answers]
    return [p / sum(points) for p in points]  # cells are printed to four digits


def healthy_row(facts: DiagnosisFacts, finding: str) -> list[float]:
    """Chances of the answers for a fish with nothing wrong; without a row of its own, the leak."""
    asked = facts.findings[finding]
    cell = asked.healthy or asked.baseline
    points = [cell.answers[a].point for a in asked.answers]
    return [p / sum(points) for p in points]


def answer_chances(facts: DiagnosisFacts, causes: tuple[str, ...], finding: str) -> list[float]:
    """P(answer | exactly these causes) by the law of the finding."""
    law = facts.findings[finding].law
    leak = row(facts, None, finding)
    rows = [row(facts, c, finding) for c in causes]
    if not causes:
        return healthy_row(facts, finding)
    if len(causes) == 1:
        return rows[0]
    if law in (LikelihoodLaw.NOISY_OR, LikelihoodLaw.NOISY_MAX):
        reached = []
        for a in range(len(leak)):
            total = sum(leak[: a + 1])
            factor = 1.0
            for r in rows:
                factor *= min(1.0, sum(r[: a + 1]) / total)
            reached.append(total * factor)
        return [reached[0]] + [reached[a] - reached[a - 1] for a in range(1, len(leak))]
    if law is LikelihoodLaw.COURSE:
        return [sum(r[a] for r in rows) / len(rows) for a in range(len(leak))]
    assert law is LikelihoodLaw.SHARED
    healthy = leak[0] * math.prod(r[0] / leak[0] for r in rows)
    healthy = min(healthy, max(r[0] for r in rows))
    shares = [sum(r[a] for r in rows) / sum(1 - r[0] for r in rows) for a in range(len(leak))]
    return [healthy] + [(1 - healthy) * share for share in shares[1:]]


def prior_weight(facts: DiagnosisFacts, causes: tuple[str, ...]) -> float:
    """One row leads; a listed one is joined by a second with a set chance, in either order."""
    healthy, second = facts.number("prior.healthy"), facts.number("prior.second")
    point = {c: condition.prior.point for c, condition in facts.conditions.items()}
    listed = [c for c, condition in facts.conditions.items() if condition.listed]
    room = 1 - healthy - sum(p for c, p in point.items() if c not in listed)
    lead = {c: room * point[c] / sum(point[d] for d in listed) for c in listed}
    if not causes:
        return healthy
    if causes[0] not in listed:
        return point[causes[0]]

    def together(a: str, b: str) -> float:
        rules = [r for r in facts.pairs if {r.first, r.second} == {a, b}]
        return math.prod(rule.factor.point for rule in rules)

    def joins(first: str, then: str) -> float:
        among = sum(lead[c] * together(first, c) for c in listed if c != first)
        return second * lead[then] * together(first, then) / among if among else 0.0

    if len(causes) == 1:
        alone = all(joins(causes[0], c) == 0 for c in listed if c != causes[0])
        return lead[causes[0]] * (1 if alone else 1 - second)
    a, b = causes
    return lead[a] * joins(a, b) + lead[b] * joins(b, a)


def finding_weight(
    facts: DiagnosisFacts, causes: tuple[str, ...], evidence: Evidence, finding: str
) -> float:
    """The factor of one finding that is no descriptor of spots."""
    asked, answers = facts.findings[finding], evidence.answers[finding]
    places = [asked.answers.index(a) for a in answers]
    key = f"block_weight.{asked.block}"
    power = facts.number(key) if key in facts.numbers else 1.0
    if asked.law is not LikelihoodLaw.CONTEXT:
        chances = answer_chances(facts, causes, finding)
        return float(sum(chances[k] for k in places) ** power)
    if finding in evidence.unconfirmed:
        power *= 0.7
    leak = sum(row(facts, None, finding)[k] for k in places)
    rows = [row(facts, c, finding) for c in causes] or [healthy_row(facts, finding)]
    return float(math.prod((sum(r[k] for k in places) / leak) ** power for r in rows))


def weight(facts: DiagnosisFacts, causes: tuple[str, ...], evidence: Evidence) -> float:
    """Unnormalised weight of exactly these causes."""
    w = prior_weight(facts, causes)
    informative = [
        f for f, g in evidence.answers.items() if len(g) < len(facts.findings[f].answers)
    ]
    spots = [f for f in informative if facts.findings[f].law is LikelihoodLaw.GATED]
    for finding in informative:
        if finding not in spots:
            w *= finding_weight(facts, causes, evidence, finding)
    gate = evidence.answers.get("gate", frozenset(("a0", "a1")))
    if not spots or "a1" not in gate:
        return w
    if len(gate) > 1:
        w *= answer_chances(facts, causes, "gate")[1]
    return w * spot_weight(facts, causes, evidence, spots)


def spot_weight(
    facts: DiagnosisFacts, causes: tuple[str, ...], evidence: Evidence, spots: list[str]
) -> float:
    def product(cause: str | None) -> float:
        total = 1.0
        for finding in spots:
            asked = facts.findings[finding]
            chances = row(facts, cause, finding) if cause else healthy_row(facts, finding)
            total *= sum(chances[asked.answers.index(a)] for a in evidence.answers[finding])
        return total

    if not causes:
        return float(product(None))
    leak = row(facts, None, "gate")[1]
    above = [max(0.0, row(facts, c, "gate")[1] - leak) for c in causes]
    if sum(above) == 0:
        above = [1.0] * len(causes)
    return sum(a / sum(above) * product(c) for a, c in zip(above, causes, strict=True))


def posterior(facts: DiagnosisFacts, evidence: Evidence) -> dict[str, float]:
    listed = [c for c, condition in facts.conditions.items() if condition.listed]
    sets: list[tuple[str, ...]] = [(), *[(c,) for c in facts.conditions], *combinations(listed, 2)]
    weights = {causes: weight(facts, causes, evidence) for causes in sets}
    total = sum(weights.values())
    chances = {c: sum(w for s, w in weights.items() if c in s) / total for c in facts.conditions}
    return chances | {NONE: weights[()] / total}


@pytest.mark.parametrize("seed", range(200))
def test_ranking_agrees_with_the_definition_on_a_random_small_table(
    seed: int, small_facts: Callable[..., DiagnosisFacts], random_evidence: Callable[..., Evidence]
) -> None:
    rng = np.random.default_rng(seed)
    facts = small_facts(rng)
    drawn = random_evidence(facts, rng, most=8)
    contexts = [f for f in drawn.answers if facts.findings[f].law is LikelihoodLaw.CONTEXT]
    evidence = Evidence(drawn.answers, frozenset(contexts[:1]))
    ranking = rank(compile_tables(facts), evidence)
    assert not ranking.triples
    for name, expected in posterior(facts, evidence).items():
        assert ranking.of(name) == pytest.approx(expected, abs=1e-9)
