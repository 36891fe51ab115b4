"""The ranking against a general Bayesian library on fixed sub-networks.

Priors of sets are the ranking's own, written out a second time (test_enumeration); the library
gives the chance of the answers under each set.

Reference: pyAgrum (aGrUM), exact inference on the full joint network of four causes; its own
leaky noisy-OR node for the two-answer signs, written-out tables for the graded ones. The library
weighs every set of causes; both sides are compared on sets of at most two, as the ranking does.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from itertools import combinations
from types import MappingProxyType
from typing import Any

import numpy as np
import pytest
from tests.diagnose.test_enumeration import prior_weight

from tankside.claims.diagnosis import DiagnosisFacts, LikelihoodLaw
from tankside.diagnose import NONE, Evidence, Tables, compile_tables, rank

pytestmark = pytest.mark.slow
NETWORKS = 27
CAUSES, OR_SIGNS, MAX_SIGNS = 4, 3, 3


def sub_facts(facts: DiagnosisFacts, causes: list[str], findings: list[str]) -> DiagnosisFacts:
    numbers = {k: c for k, c in facts.numbers.items() if not k.startswith("block_weight")}
    signs = {
        f: dataclasses.replace(facts.findings[f], gate="", healthy=None, fine_of=None)
        for f in findings
    }
    return dataclasses.replace(
        facts,
        conditions=MappingProxyType({c: facts.conditions[c] for c in causes}),
        findings=MappingProxyType(signs),
        pairs=(),
        water_first=(),
        numbers=MappingProxyType(numbers),
    )


def chances(tables: Tables, cause: str | None, finding: str) -> np.ndarray:
    row = tables.leak_row if cause is None else tables.row(cause)
    chance: np.ndarray = tables.cells[finding].chance[row]
    return chance


def network(gum: Any, tables: Tables, causes: list[str], findings: list[str]) -> Any:
    net = gum.BayesNet("part")
    for cause in causes:
        net.add(gum.LabelizedVariable(cause, "", ["no", "yes"]))
        prior = tables.facts.conditions[cause].prior.point
        net.cpt(cause).fillWith([1 - prior, prior])
    for name in findings:
        asked = tables.facts.findings[name]
        variable = gum.LabelizedVariable(name, "", list(asked.answers))
        if asked.law is LikelihoodLaw.NOISY_OR:
            net.addNoisyORCompound(variable, float(chances(tables, None, name)[1]))
            for cause in causes:
                net.addWeightedArc(cause, name, float(chances(tables, cause, name)[1]))
            continue
        net.add(variable)
        for cause in causes:
            net.addArc(cause, name)
        for number in range(2 ** len(causes)):
            there = {c: (number >> k) & 1 for k, c in enumerate(causes)}
            leak = np.cumsum(chances(tables, None, name))
            reach = leak.copy()
            for cause in causes:
                if there[cause]:
                    reach *= np.minimum(1, np.cumsum(chances(tables, cause, name)) / leak)
            net.cpt(name)[there] = [float(p) for p in np.diff(reach, prepend=0)]
    return net


def joint(
    gum: Any, net: Any, causes: list[str], present: tuple[str, ...], masks: dict[str, np.ndarray]
) -> float:
    engine = gum.LazyPropagation(net)
    hard = {c: int(c in present) for c in causes}
    soft = {name: [float(x) for x in mask] for name, mask in masks.items()}
    engine.setEvidence({**hard, **soft})
    return float(engine.evidenceProbability())


def independent(facts: DiagnosisFacts, present: tuple[str, ...]) -> float:
    """Chance of exactly these causes in the library's network, where causes are independent."""
    points = {c: condition.prior.point for c, condition in facts.conditions.items()}
    return math.prod(p if c in present else 1 - p for c, p in points.items())


def test_every_condition_is_covered_by_the_networks(facts: DiagnosisFacts) -> None:
    covered = {c for number in range(NETWORKS) for c in parts(facts, number)[0]}
    assert covered == {c for c, condition in facts.conditions.items() if condition.listed}


def parts(facts: DiagnosisFacts, number: int) -> tuple[list[str], list[str], np.random.Generator]:
    """Fixed parts: causes dealt out in turn, filled up to four; signs by a fixed stream."""
    listed = [c for c, condition in facts.conditions.items() if condition.listed]
    causes = listed[2 * number : 2 * number + 2]
    rng = np.random.default_rng(number)
    rest = [c for c in listed if c not in causes]
    causes = [*causes, *rng.choice(rest, size=CAUSES - len(causes), replace=False)]
    binary = [f.id for f in facts.findings.values() if f.law is LikelihoodLaw.NOISY_OR]
    graded = [f.id for f in facts.findings.values() if f.law is LikelihoodLaw.NOISY_MAX]
    signs = [
        *rng.choice(binary, OR_SIGNS, replace=False),
        *rng.choice(graded, MAX_SIGNS, replace=False),
    ]
    return [str(c) for c in causes], [str(s) for s in signs], rng


@pytest.mark.parametrize("number", range(NETWORKS))
def test_posteriors_agree_with_the_library(
    facts: DiagnosisFacts, number: int, trust_record: Callable[..., None]
) -> None:
    gum = pytest.importorskip("pyagrum")
    causes, signs, rng = parts(facts, number)
    tables = compile_tables(sub_facts(facts, causes, signs))
    net = network(gum, tables, causes, signs)
    worst = 0.0
    for _ in range(5):
        masks = {}
        for name in signs:
            size = len(facts.findings[name].answers)
            mask = np.zeros(size)
            mask[rng.choice(size, size=int(rng.integers(1, size)), replace=False)] = 1
            masks[name] = mask
        sets: list[tuple[str, ...]] = [(), *[(c,) for c in causes], *combinations(causes, 2)]
        part = sub_facts(facts, causes, signs)
        weights = {
            s: joint(gum, net, causes, s, masks) / independent(part, s) * prior_weight(part, s)
            for s in sets
        }
        total = sum(weights.values())
        answers = {
            n: [a for a, on in zip(facts.findings[n].answers, m, strict=True) if on]
            for n, m in masks.items()
        }
        ranking = rank(tables, Evidence.of(answers))
        assert not ranking.triples
        expected = {c: sum(w for s, w in weights.items() if c in s) / total for c in causes}
        expected[NONE] = weights[()] / total
        worst = max(worst, *(abs(ranking.of(c) - p) for c, p in expected.items()))
    trust_record(
        topic="Differential: exact inference",
        source="pyAgrum 3.3, native noisy-OR nodes and written-out noisy-MAX tables",
        compared="posteriors of four causes from six signs, sets of answers",
        difference=worst,
        tolerance=1e-9,
        verdict="pass" if worst < 1e-9 else "fail",
    )
    assert worst < 1e-9
