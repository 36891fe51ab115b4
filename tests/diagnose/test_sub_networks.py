"""The ranking against a plain enumeration on parts of the shipped tables that cover every cause.

The definition is written out a second time in test_enumeration, set by set and answer by answer;
here it is run on the shipped numbers: two causes dealt out in turn and two more, one group that is
not listed, signs of every law that has no gate.
"""

from __future__ import annotations

import dataclasses
from types import MappingProxyType

import numpy as np
import pytest
from tests.diagnose.test_enumeration import posterior

from tankside.claims.diagnosis import DiagnosisFacts, LikelihoodLaw
from tankside.diagnose import Evidence, compile_tables, rank

PARTS, CAUSES, SIGNS = 27, 4, 9
LAWS = (
    LikelihoodLaw.NOISY_OR, LikelihoodLaw.NOISY_MAX, LikelihoodLaw.SHARED, LikelihoodLaw.COURSE,
    LikelihoodLaw.CONTEXT,
)  # fmt: skip


def part(facts: DiagnosisFacts, number: int) -> tuple[DiagnosisFacts, np.random.Generator]:
    rng = np.random.default_rng(number)
    listed = [c for c, condition in facts.conditions.items() if condition.listed]
    groups = [c for c, condition in facts.conditions.items() if condition.outside]
    causes = listed[2 * number : 2 * number + 2]
    rest = [c for c in listed if c not in causes]
    causes += [str(c) for c in rng.choice(rest, CAUSES - len(causes), replace=False)]
    chosen = [*causes, groups[number % len(groups)]]
    signs = [
        f.id
        for f in facts.findings.values()
        if f.law in LAWS and not f.gate and f.answers[0] == f.baseline_answer
        and f.id not in facts.warmth
    ]  # fmt: skip
    findings = {
        str(name): dataclasses.replace(facts.findings[str(name)], fine_of=None)
        for name in rng.choice(signs, SIGNS, replace=False)
    }
    least = dataclasses.replace(facts.numbers["least_chance"], value=1e-300)
    specific = dataclasses.replace(facts.numbers["specific_factor"], value=1e300)
    pairs = tuple(p for p in facts.pairs if p.first in causes and p.second in causes)
    return (
        dataclasses.replace(
            facts,
            conditions=MappingProxyType({c: facts.conditions[c] for c in chosen}),
            findings=MappingProxyType(findings),
            pairs=pairs,
            water_first=(),
            numbers={**facts.numbers, "least_chance": least, "specific_factor": specific},
            kinds=MappingProxyType({}),
            twins=(),
            warmth=MappingProxyType({}),
        ),
        rng,
    )


def test_the_parts_cover_every_listed_cause(facts: DiagnosisFacts) -> None:
    covered = {c for number in range(PARTS) for c in part(facts, number)[0].conditions}
    assert covered >= {c for c, condition in facts.conditions.items() if condition.listed}


@pytest.mark.parametrize("number", range(PARTS))
def test_the_ranking_agrees_with_enumeration_on_the_shipped_numbers(
    facts: DiagnosisFacts, number: int
) -> None:
    few, rng = part(facts, number)
    tables = compile_tables(few)
    for _ in range(3):
        answers = {}
        for finding in few.findings.values():
            size = int(rng.integers(1, len(finding.answers)))
            answers[finding.id] = [
                finding.answers[int(k)]
                for k in rng.choice(len(finding.answers), size, replace=False)
            ]
        evidence = Evidence.of(answers)
        ranking = rank(tables, evidence)
        for name, expected in posterior(few, evidence).items():
            assert ranking.of(name) == pytest.approx(expected, abs=1e-9), name
