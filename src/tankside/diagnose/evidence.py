"""What was seen, as answers to findings: one answer, several that are possible, or nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose.repeats import without_repeats
from tankside.errors import BadInput

_NO_WEIGHTS: Mapping[str, float] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Evidence:
    """Answers given so far. A finding that is absent was not looked at; it is never "none".

    Args:
        answers: for each finding the answers that remain possible. "Present, amount not
            stated" is the set of its amounts.
        unconfirmed: context findings that the keeper only remembers; their pull is softened.
        weights: 0 to 1 for findings from a spoiled sample (see ``sample_weight``); 1 otherwise.
    """

    answers: Mapping[str, frozenset[str]]
    unconfirmed: frozenset[str] = frozenset()
    weights: Mapping[str, float] = field(default_factory=lambda: _NO_WEIGHTS)

    @classmethod
    def of(cls, answers: Mapping[str, str | Iterable[str]]) -> Evidence:
        """Build evidence from plain answers, each one answer or several."""
        return cls(
            {
                name: frozenset((answer,) if isinstance(answer, str) else answer)
                for name, answer in answers.items()
            }
        )

    def without(self, finding: str) -> Evidence:
        """Return the evidence as if this finding had not been looked at."""
        kept = {name: answered for name, answered in self.answers.items() if name != finding}
        return Evidence(kept, self.unconfirmed, self.weights)


def informative(facts: DiagnosisFacts, evidence: Evidence) -> dict[str, tuple[bool, ...]]:
    """Return the findings that say something, by name, as answer masks.

    A set of all answers says nothing. A finding whose question cannot arise (its gate has
    another answer) is passed over; one that was answered tells that its gate stands open.

    Args:
        facts: what the differential knows.
        evidence: the answers.

    Raises:
        BadInput: a finding or an answer is not known, or a set is empty.
    """
    for name, answered in evidence.answers.items():
        _check(facts, name, answered)
    single = without_repeats(facts, evidence.answers)
    answers = {**single, **_opened_gates(facts, Evidence(single))}
    masks: dict[str, tuple[bool, ...]] = {}
    for name in sorted(answers):
        finding, allowed = facts.findings[name], answers[name]
        if len(allowed) < len(finding.answers) and not shut(facts, evidence, name):
            masks[name] = tuple(answer in allowed for answer in finding.answers)
    return masks


def _opened_gates(facts: DiagnosisFacts, evidence: Evidence) -> dict[str, frozenset[str]]:
    """Return the gates that stand open because a question behind them was answered.

    Whoever names the group of a marine fish has said that the water is marine; whoever
    measured a spot has said that spots are visible.
    """
    opened: dict[str, frozenset[str]] = {}
    for name in evidence.answers:
        finding = facts.findings[name]
        if finding.gate and not shut(facts, evidence, name):
            sofar = opened.get(finding.gate_finding, frozenset())
            opened[finding.gate_finding] = sofar | {finding.gate_answer}
    return opened


def shut(facts: DiagnosisFacts, evidence: Evidence, finding: str) -> bool:
    """Whether the question cannot arise because its gate was answered otherwise."""
    asked = facts.findings[finding]
    gate = evidence.answers.get(asked.gate_finding)
    return gate is not None and asked.gate_answer not in gate


def passed_over(facts: DiagnosisFacts, evidence: Evidence) -> tuple[str, ...]:
    """Return the answered findings that are not used because their gate says otherwise."""
    return tuple(name for name in evidence.answers if shut(facts, evidence, name))


def _check(facts: DiagnosisFacts, name: str, answered: frozenset[str]) -> None:
    if name not in facts.findings:
        raise BadInput(
            "E-FIND-01",
            "This finding is not in the list.",
            given=name,
            needed="the identifier of a finding, for example breathing",
            next_step="See `tankside knowledge show findings`.",
            field=name,
        )
    answers = facts.findings[name].answers
    wrong = sorted(answered.difference(answers))
    if wrong or not answered:
        raise BadInput(
            "E-FIND-02",
            "This is not an answer to the finding." if wrong else "No answer is given.",
            given=", ".join(wrong),
            needed=f"one or more of {', '.join(answers)}",
            next_step="Leave the finding out when it was not looked at.",
            field=name,
        )
