"""House checks on the differential's knowledge that a list of fields cannot say."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims.diagnosis import Cell, Condition, DiagnosisFacts, FindingFacts, LikelihoodLaw
from tankside.library.problem import Problem

_SUM_SLACK = 0.002
"""Cells are printed to four digits; seven answers rounded may miss 1 by this much."""
_ORDER_SLACK = 0.001


def check_facts(facts: DiagnosisFacts) -> Iterator[Problem]:
    """Yield what does not hold together.

    Args:
        facts: the knowledge as read.

    Yields:
        Answers that do not match the question, chances that do not sum to one, ranges that do
        not hold the point, gates and pairs that name nothing, and cells of graded signs that
        lie below the leak (with such a cell the law would make a disease protect from a sign).
    """
    for finding in facts.findings.values():
        yield from _finding(facts, finding)
    for condition in facts.conditions.values():
        yield from _condition(facts, condition)
    for pair in facts.pairs:
        for name in (pair.first, pair.second):
            if name not in facts.conditions:
                yield _problem(
                    "pair", "diagnosis/pairs.toml", name, "no condition has this id", "correct it"
                )
    for rule in facts.water_first:
        asked = facts.findings.get(rule.finding)
        if asked is None or rule.answer not in asked.answers:
            yield _problem(
                "water_first",
                "diagnosis/model.toml",
                rule.finding,
                f"no answer {rule.answer!r}",
                "correct it",
            )


def _problem(check: str, file: str, key: str, message: str, repair: str) -> Problem:
    return Problem(check, file, key, f"{message}.", f"{repair}.")


def _finding(facts: DiagnosisFacts, finding: FindingFacts) -> Iterator[Problem]:
    file = f"findings/{finding.id}.toml"
    yield from _cell(finding, finding.baseline, file)
    if finding.healthy is not None:
        yield from _cell(finding, finding.healthy, file)
    yield from _forms(facts, finding, file)
    if finding.baseline_answer not in finding.answers:
        yield _problem(
            "baseline", file, finding.id, "the baseline is not one of the answers", "correct it"
        )
    gate = facts.findings.get(finding.gate_finding)
    if finding.gate and (gate is None or finding.gate_answer not in gate.answers):
        yield _problem("gate", file, finding.gate, "the gate does not name an answer", "correct it")


def _forms(facts: DiagnosisFacts, finding: FindingFacts, file: str) -> Iterator[Problem]:
    """Yield a sitting that is not there, and a coarser form that does not have the answers."""
    if finding.sitting and facts.sittings and finding.sitting not in facts.sittings:
        yield _problem("sitting", file, finding.sitting, "no sitting has this id", "correct it")
    form = finding.fine_of
    if form is None:
        return
    coarse = facts.findings.get(form.finding)
    implied = {answer for some in form.answers.values() for answer in some}
    if coarse is None or implied - set(coarse.answers) or set(form.answers) - set(finding.answers):
        yield _problem(
            "fine_of", file, form.finding, "the coarser form lacks an answer", "correct it"
        )


def _condition(facts: DiagnosisFacts, condition: Condition) -> Iterator[Problem]:
    file = f"conditions/{condition.id.lower()}.toml"
    prior = condition.prior
    if not 0 < prior.low <= prior.point <= prior.high < 1:
        yield _problem("prior", file, condition.id, "the prior is out of order", "correct it")
    file = f"cells/{condition.id.lower()}.csv"
    for name, cell in condition.cells.items():
        finding = facts.findings.get(name)
        if finding is None:
            yield _problem("finding", file, name, "no finding has this id", "correct it")
            continue
        yield from _cell(finding, cell, file)
        if (
            tuple(cell.answers) == finding.answers
            and finding.law in (LikelihoodLaw.NOISY_OR, LikelihoodLaw.NOISY_MAX)
            and condition.listed
        ):
            yield from _below_leak(finding, cell, file)


def _cell(finding: FindingFacts, cell: Cell, file: str) -> Iterator[Problem]:
    if tuple(cell.answers) != finding.answers:
        yield _problem(
            "answers", file, finding.id, "the answers differ from the question's", "list them all"
        )
        return
    total = sum(chance.point for chance in cell.answers.values())
    if abs(total - 1) > _SUM_SLACK:
        yield _problem("sum", file, finding.id, f"the chances sum to {total:.4f}", "make it 1")
    for answer, chance in cell.answers.items():
        if not 0 <= chance.low <= chance.point <= chance.high <= 1:
            yield _problem(
                "range", file, f"{finding.id}.{answer}", "low <= chance <= high fails", "correct it"
            )


def _below_leak(finding: FindingFacts, cell: Cell, file: str) -> Iterator[Problem]:
    mine = leak = 0.0
    for answer in finding.answers:
        mine += cell.answers[answer].point
        leak += finding.baseline.answers[answer].point
        if mine > leak + _ORDER_SLACK:
            yield _problem(
                "below_leak",
                file,
                f"{finding.id}.{answer}",
                f"the milder answers sum to {mine:.3f}, more than the leak's {leak:.3f}",
                "a disease cannot protect from a sign; leave the cell out or use the leak",
            )
            return
