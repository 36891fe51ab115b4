from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

import numpy as np
import pytest

from tankside.claims import Claim, Confidence, Provenance
from tankside.claims.diagnosis import (
    Cell,
    Chance,
    Condition,
    DiagnosisFacts,
    FindingFacts,
    LikelihoodLaw,
    PairRule,
    Role,
    Standing,
)
from tankside.diagnose import Evidence, Tables, compile_tables
from tankside.library.diagnosis_files import load_diagnosis

GOLDEN = Path(__file__).resolve().parents[1] / "golden"
LAWS = (
    LikelihoodLaw.NOISY_OR,
    LikelihoodLaw.NOISY_MAX,
    LikelihoodLaw.COURSE,
    LikelihoodLaw.SHARED,
    LikelihoodLaw.CONTEXT,
)


@pytest.fixture(scope="session")
def facts() -> DiagnosisFacts:
    return load_diagnosis()


@pytest.fixture(scope="session")
def tables(facts: DiagnosisFacts) -> Tables:
    return compile_tables(facts)


def chance(point: float) -> Chance:
    return Chance(point, point, point)


def claim(key: str, value: float) -> Claim:
    return Claim(f"diagnosis.{key}", value, "1", Provenance.ESTIMATE, Confidence.LOW)


def _small_facts(rng: np.random.Generator) -> DiagnosisFacts:
    """Invented conditions and findings of every law; one unlisted cause; some cells silent."""
    findings = {}
    for number in range(int(rng.integers(3, 6))):
        law = LAWS[int(rng.integers(len(LAWS)))]
        size = 2 if law is LikelihoodLaw.NOISY_OR else int(rng.integers(2, 5))
        findings[f"f{number}"] = _finding(f"f{number}", law, size, "", rng, block=f"b{number % 2}")
    findings["gate"] = _finding("gate", LikelihoodLaw.NOISY_OR, 2, "", rng, block="gate")
    for number in range(2):
        name = f"spot{number}"
        findings[name] = _finding(name, LikelihoodLaw.GATED, 3, "gate=a1", rng, block="spot")
    causes = int(rng.integers(2, 6))
    conditions = {f"C{k}": _condition(f"C{k}", findings, rng, False) for k in range(causes)}
    conditions["OUT"] = _condition("OUT", findings, rng, True)
    rules = [PairRule("C0", "C1", chance(float(rng.choice([0.0, 2.5]))), (), Provenance.ESTIMATE)]
    numbers = {
        "block_weight.b1": claim("block_weight.b1", 0.7),
        "unconfirmed_power": claim("unconfirmed_power", 0.7),
        "least_chance": claim("least_chance", 1e-6),
        "explains_factor": claim("explains_factor", 2.0),
        "specific_factor": claim("specific_factor", 1e9),
        "prior.healthy": claim("prior.healthy", float(rng.uniform(0.05, 0.3))),
        "prior.second": claim("prior.second", float(rng.uniform(0.05, 0.3))),
    }
    return DiagnosisFacts(
        MappingProxyType(conditions), MappingProxyType(findings), tuple(rules), (), numbers
    )


def _finding(
    name: str, law: LikelihoodLaw, size: int, gate: str, rng: np.random.Generator, block: str
) -> FindingFacts:
    answers = tuple(f"a{k}" for k in range(size))
    role = Role.CONTEXT if law is LikelihoodLaw.CONTEXT else Role.SIGN
    return FindingFacts(
        name, name, role, law, block, gate, answers, answers[0], _cell(name, answers, rng),
        "?", "", 1, 0, "", "", (),
        healthy=_cell(name, answers, rng) if rng.random() < 0.7 else None,
    )  # fmt: skip


def _cell(name: str, answers: tuple[str, ...], rng: np.random.Generator) -> Cell:
    drawn = rng.dirichlet(np.ones(len(answers))) * 0.9 + 0.1 / len(answers)
    return Cell(name, {a: chance(float(p)) for a, p in zip(answers, drawn, strict=True)}, ())


def _condition(
    name: str, findings: Mapping[str, FindingFacts], rng: np.random.Generator, outside: bool
) -> Condition:
    cells = {
        f.id: _cell(f.id, f.answers, rng)
        for f in findings.values()
        if outside or rng.random() < 0.7
    }
    standing = Standing.OUTSIDE if outside else Standing.LISTED
    return Condition(
        name, name, "", "", chance(float(rng.uniform(0.01, 0.3))), "", cells, chance(0.5),
        chance(0.05), False, "", "", "", "", "", (), standing=standing,
    )  # fmt: skip


def _random_evidence(
    facts: DiagnosisFacts, rng: np.random.Generator, most: int = 10, softly: bool = True
) -> Evidence:
    """Some findings with one or several answers; descriptors only with an open gate."""
    names = list(facts.findings)
    chosen = rng.choice(
        len(names), size=int(rng.integers(0, min(most, len(names)) + 1)), replace=False
    )
    answers = {}
    for number in chosen:
        finding = facts.findings[names[int(number)]]
        count = 1
        if softly and len(finding.answers) > 2 and rng.random() < 0.3:
            count = 2
        picked = rng.choice(len(finding.answers), size=count, replace=False)
        answers[finding.id] = frozenset(finding.answers[int(k)] for k in picked)
    return Evidence(answers)


def _renamed(facts: DiagnosisFacts, names: Mapping[str, str], order: list[str]) -> DiagnosisFacts:
    """The same knowledge with other identifiers of conditions, in another order."""
    conditions = {
        names[old]: dataclasses.replace(facts.conditions[old], id=names[old]) for old in order
    }
    pairs = tuple(
        dataclasses.replace(p, first=names[p.first], second=names[p.second]) for p in facts.pairs
    )
    kinds = {
        kind.id: dataclasses.replace(kind, odds={names[c]: o for c, o in kind.odds.items()})
        for kind in facts.kinds.values()
    }
    return dataclasses.replace(
        facts, conditions=MappingProxyType(conditions), pairs=pairs, kinds=MappingProxyType(kinds)
    )


@pytest.fixture(scope="session")
def small_facts() -> Callable[..., DiagnosisFacts]:
    return _small_facts


@pytest.fixture(scope="session")
def random_evidence() -> Callable[..., Evidence]:
    return _random_evidence


@pytest.fixture(scope="session")
def renamed() -> Callable[..., DiagnosisFacts]:
    return _renamed


@pytest.fixture(scope="session")
def golden() -> Path:
    return GOLDEN
