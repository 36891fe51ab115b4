"""Relations that must hold whatever the evidence (M13 to M18), on generated finding sets."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest
from tests.diagnose.more_evidence import and_also

from tankside.claims.diagnosis import DiagnosisFacts, LikelihoodLaw
from tankside.diagnose import NONE, Evidence, Ranking, Tables, compile_tables, rank, unexplained
from tankside.diagnose.repeats import warmth_of

FEW, MANY = 500, 10_000
TIERS = pytest.mark.parametrize("count", [FEW, pytest.param(MANY, marks=pytest.mark.slow)])
SEED = 20260312


@pytest.fixture
def cases(random_evidence: Callable[..., Evidence]) -> Callable[..., Iterator[Any]]:
    def draw(facts: DiagnosisFacts, count: int) -> Iterator[Any]:
        rng = np.random.default_rng(SEED)
        for _ in range(count):
            yield random_evidence(facts, rng), rng

    return draw


def chances(ranking: Ranking) -> dict[str, float]:
    return {name: ranking.of(name) for name in ranking.order()}


def retold(facts: DiagnosisFacts, evidence: Evidence, name: str) -> bool:
    """Whether a finding is told already in finer or coarser words: one of them falls away."""
    form = facts.findings[name].fine_of
    others = {f.id for f in facts.findings.values() if f.fine_of and f.fine_of.finding == name}
    others |= {form.finding} if form else set()
    hosts = {"host_species", "host_fw", "host_marine", "water_type"}
    others |= hosts if name in hosts else set()
    return bool(others & evidence.answers.keys())


def read_for_another_kind(facts: DiagnosisFacts, evidence: Evidence, more: Evidence) -> bool:
    """Whether a temperature told before is read for cool, warm or marine fish only now."""
    changed = warmth_of(facts, evidence.answers) != warmth_of(facts, more.answers)
    return changed and bool(facts.warmth.keys() & evidence.answers.keys())


def log_odds(ranking: Ranking, name: str) -> float:
    p = ranking.of(name)
    return float(np.log(p) - np.log(max(1 - p, 1e-300)))


@TIERS
def test_order_of_findings_does_not_matter(
    tables: Tables, count: int, cases: Callable[..., Iterator[Any]]
) -> None:
    for evidence, rng in cases(tables.facts, count):
        names = list(evidence.answers)
        rng.shuffle(names)
        shuffled = Evidence({name: evidence.answers[name] for name in names})
        assert chances(rank(tables, shuffled)) == chances(rank(tables, evidence))


@TIERS
def test_the_same_finding_twice_counts_once(
    tables: Tables, count: int, cases: Callable[..., Iterator[Any]]
) -> None:
    for evidence, _ in cases(tables.facts, count):
        doubled = Evidence.of({n: [*sorted(a), *sorted(a)] for n, a in evidence.answers.items()})
        for name, answers in evidence.answers.items():
            doubled = and_also(doubled, name, *answers)
        assert chances(rank(tables, doubled)) == chances(rank(tables, evidence))


@TIERS
def test_a_finding_never_lowers_the_one_cause_it_favours_against_another(
    tables: Tables, count: int, cases: Callable[..., Iterator[Any]]
) -> None:
    facts = tables.facts
    n = len(tables.ids)
    tried = 0
    for evidence, rng in cases(facts, count):
        name = str(rng.choice(list(facts.findings)))
        finding = facts.findings[name]
        gates = {facts.findings[answered].gate_finding for answered in evidence.answers}
        shut = finding.gate and evidence.answers.get(finding.gate_finding) != {finding.gate_answer}
        if name in evidence.answers or name in gates or shut or retold(facts, evidence, name):
            continue
        answer = int(rng.integers(len(finding.answers)))
        more = and_also(evidence, name, finding.answers[answer])
        if finding.law is LikelihoodLaw.ODDS or name in facts.warmth:
            continue
        if read_for_another_kind(facts, evidence, more):
            continue
        before = rank(tables, evidence).log_weight[1 : n + 1]
        gained = rank(tables, more).log_weight[1 : n + 1] - before
        favour = tables.cells[name].chance[:n, answer]
        order = np.argsort(favour, kind="stable")
        assert np.all(np.diff(gained[order]) >= -1e-9), name
        tried += 1
    assert tried > count / 3


@TIERS
def test_unknown_is_not_absent(
    tables: Tables, count: int, cases: Callable[..., Iterator[Any]]
) -> None:
    """All answers possible says nothing; taking "absent" back gives each cause its odds back."""
    facts = tables.facts
    n = len(tables.ids)
    graded = (LikelihoodLaw.NOISY_OR, LikelihoodLaw.NOISY_MAX)
    signs = [f for f in facts.findings.values() if f.law in graded]
    gates = {f.gate_finding for f in facts.findings.values()}
    signs = [f for f in signs if f.id not in gates]
    listed = np.array([tables.facts.conditions[name].listed for name in tables.ids])
    n = len(tables.ids) + 1
    for evidence, rng in cases(facts, count):
        sign = signs[int(rng.integers(len(signs)))]
        open_ = evidence.without(sign.id)
        if retold(facts, open_, sign.id):
            continue
        unknown = rank(tables, open_)
        everything = rank(tables, and_also(open_, sign.id, *sign.answers))
        assert chances(everything) == chances(unknown)
        absent = rank(tables, and_also(open_, sign.id, sign.baseline_answer))
        none = tables.cells[sign.id].chance
        gained = absent.log_weight[1:n][listed] - unknown.log_weight[1:n][listed]
        baseline = sign.answers.index(sign.baseline_answer)
        silent = np.log(none[-1, baseline]) * tables.exponent[sign.id]
        assert np.all(gained <= silent + 1e-9)
        assert np.any(gained < silent - 1e-6), sign.id


def test_without_any_finding_the_prior_odds_stand(tables: Tables) -> None:
    """The leading rows sum to 1; listed causes stand to each other as the data says."""
    ranking = rank(tables, Evidence({}))
    conditions = tables.facts.conditions
    leading = {name: ranking.leading(name) for name in (*tables.ids, NONE)}
    assert sum(leading.values()) == pytest.approx(1, abs=1e-12)
    assert leading[NONE] == pytest.approx(tables.facts.number("prior.healthy"))
    total = sum(c.prior.point for c in conditions.values() if c.listed)
    room = 1 - leading[NONE] - sum(c.prior.point for c in conditions.values() if not c.listed)
    for name, cause in conditions.items():
        expected = cause.prior.point * (room / total if cause.listed else 1)
        assert leading[name] == pytest.approx(expected, rel=1e-9)


@TIERS
def test_other_identifiers_and_another_order_do_not_change_scores(
    tables: Tables,
    count: int,
    cases: Callable[..., Iterator[Any]],
    renamed: Callable[..., DiagnosisFacts],
) -> None:
    facts = tables.facts
    names = {old: f"X{k:02d}" for k, old in enumerate(sorted(facts.conditions, reverse=True))}
    other = compile_tables(renamed(facts, names, sorted(facts.conditions, key=lambda c: c[::-1])))
    for evidence, _ in cases(facts, count):
        mine, theirs = rank(tables, evidence), rank(other, evidence)
        assert theirs.nothing_wrong == pytest.approx(mine.nothing_wrong, abs=1e-12)
        for old, new in names.items():
            assert theirs.of(new) == pytest.approx(mine.of(old), abs=1e-12)


def test_ties_are_broken_by_identifier(facts: DiagnosisFacts) -> None:
    """Two causes made alike in everything share their chance and stand by name."""
    import dataclasses
    from types import MappingProxyType

    twin = dataclasses.replace(facts.conditions["TRICHO"], id="AAA")
    listed = {"TRICHO": facts.conditions["TRICHO"], "AAA": twin}
    alike = dataclasses.replace(facts, conditions=MappingProxyType(listed), pairs=())
    order = rank(compile_tables(alike), Evidence.of({"flashing": "frequent"})).order()
    assert order.index("AAA") + 1 == order.index("TRICHO")


@TIERS
def test_evidence_against_the_leader_lowers_its_odds(
    tables: Tables, count: int, cases: Callable[..., Iterator[Any]]
) -> None:
    facts = tables.facts
    tried = 0
    for evidence, rng in cases(facts, count):
        ranking = rank(tables, evidence)
        leader = next(name for name in ranking.order() if name in tables.ids)
        name = str(rng.choice(list(facts.findings)))
        finding = facts.findings[name]
        if (
            name in ranking.masks
            or finding.law in (LikelihoodLaw.GATED, LikelihoodLaw.CONTEXT, LikelihoodLaw.ODDS)
            or retold(facts, evidence, name)
            or ranking.triples
        ):
            continue
        answer = str(rng.choice(finding.answers))
        there = ranking.space.membership[:, tables.row(leader)] > 0
        chances = ranking.space.answer_chance[name][:, finding.answers.index(answer)]
        chances = chances ** tables.exponent[name]
        with_it = np.average(chances[there], weights=ranking.chance[there])
        without = np.average(chances[~there], weights=ranking.chance[~there])
        if with_it >= without * 0.999:
            continue
        after = rank(tables, and_also(evidence, name, answer))
        if after.triples:
            continue
        tried += 1
        assert log_odds(after, leader) < log_odds(ranking, leader)
    assert tried > count / 5


@TIERS
def test_what_nothing_explains_raises_not_in_list(
    tables: Tables, count: int, cases: Callable[..., Iterator[Any]]
) -> None:
    """A positive finding that no listed cause makes twice as likely as the leak does, but some
    group of causes that are not listed does.
    """
    facts = tables.facts
    graded = (LikelihoodLaw.NOISY_OR, LikelihoodLaw.NOISY_MAX, LikelihoodLaw.SHARED)

    inside = [row for row, c in enumerate(facts.conditions.values()) if c.listed]
    outside = [row for row, c in enumerate(facts.conditions.values()) if c.outside]
    riddles = [
        (finding.id, answer)
        for finding in facts.findings.values()
        if finding.law in graded
        for k, answer in enumerate(finding.answers)
        if answer != finding.baseline_answer
        and tables.cells[finding.id].chance[inside, k].max()
        < 2 * tables.cells[finding.id].chance[-1, k]
        < tables.cells[finding.id].chance[outside, k].max()
    ]
    assert riddles
    for evidence, rng in cases(facts, count):
        name, answer = riddles[int(rng.integers(len(riddles)))]
        open_ = evidence.without(name)
        if retold(facts, open_, name):
            continue
        before, after = rank(tables, open_), rank(tables, and_also(open_, name, answer))
        column = facts.findings[name].answers.index(answer)
        group = tables.ids[max(outside, key=lambda r: tables.cells[name].chance[r, column])]
        assert after.of(group) > before.of(group)


def test_an_incidental_finding_is_left_unexplained(tables: Tables) -> None:
    """A few trichodinids beside a proven white spot: shown as unexplained, not blamed."""
    seen = Evidence.of({"m_big_ciliate": "crescent_nucleus", "m_disc_ring": "few"})
    ranking = rank(tables, seen)
    assert "m_disc_ring" in unexplained(ranking)
    assert ranking.order()[0] == "ICH"
