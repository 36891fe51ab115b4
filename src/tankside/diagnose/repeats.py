"""What is said twice counts once: fine and coarse answers, the kind of fish and its group."""

from __future__ import annotations

from collections.abc import Mapping

from tankside.claims.diagnosis import DiagnosisFacts, FindingFacts

HOST = "host_species"
HOST_GROUPS = ("host_fw", "host_marine")
WATER = "water_type"
WATERS = {"host_fw": frozenset(("freshwater",)), "host_marine": frozenset(("marine",))}

Answers = Mapping[str, frozenset[str]]


def without_repeats(facts: DiagnosisFacts, answers: Answers) -> dict[str, frozenset[str]]:
    """Return the answers with each thing said once, whatever the order they were given in.

    A fine answer stands in place of the coarse one it implies. Where both only say that all is
    well, the coarse one stands, since it says so of more. The kind of fish stands in place of
    its group, and tells the water.

    Args:
        facts: what the differential knows.
        answers: answers by finding.
    """
    gone: set[str] = set()
    for name in answers:
        form = facts.findings[name].fine_of
        if form is not None and form.finding in answers:
            gone.add(_said_again(facts.findings[name], facts.findings[form.finding], answers))
    kept = {name: answered for name, answered in answers.items() if name not in gone}
    return _of_kind(facts, kept)


def _said_again(fine: FindingFacts, coarse: FindingFacts, answers: Answers) -> str:
    """Return which of two answers falls away ("" when they say different things)."""
    form = fine.fine_of
    if form is None:
        return ""
    said, coarsely = answers[fine.id], answers[coarse.id]
    well = coarsely == {coarse.baseline_answer}
    if all(answer in form.answers for answer in said):
        implied = {broad for answer in said for broad in form.answers[answer]}
        return coarse.id if well or implied & coarsely else ""
    return fine.id if well or len(said) > 1 else ""


def _of_kind(
    facts: DiagnosisFacts, answers: dict[str, frozenset[str]]
) -> dict[str, frozenset[str]]:
    if HOST not in answers or HOST not in facts.findings:
        return answers
    groups = {facts.kinds[kind].group.partition("=")[0] for kind in answers[HOST]}
    rest = {name: answered for name, answered in answers.items() if name not in HOST_GROUPS}
    if WATER not in rest and len(groups) == 1 and WATER in facts.findings:
        rest[WATER] = WATERS[next(iter(groups))]
    return rest


def warmth_of(facts: DiagnosisFacts, answers: Answers) -> str:
    """Return whether the fish are cool, warm or marine ones; "" when that is not told."""
    if HOST in answers:
        waters = {facts.kinds[kind].water for kind in answers[HOST]}
        return next(iter(waters)) if len(waters) == 1 else ""
    if answers.get(WATER, frozenset()) == {"marine"} or "host_marine" in answers:
        return "marine"
    groups = answers.get("host_fw", frozenset())
    if groups == {"goldfish_koi"}:
        return "cool"
    return "warm" if groups and "goldfish_koi" not in groups else ""
