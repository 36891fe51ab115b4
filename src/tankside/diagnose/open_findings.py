"""Findings not yet answered, as each set of causes would answer them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tankside.claims.diagnosis import DiagnosisFacts, LikelihoodLaw
from tankside.diagnose.combine import Floats
from tankside.diagnose.evidence import shut
from tankside.diagnose.ranking import Ranking, spot_profile
from tankside.diagnose.repeats import HOST, HOST_GROUPS


@dataclass(frozen=True, slots=True)
class Open:
    """A finding not yet answered, as each hypothesis would answer it.

    Args:
        finding: identifier.
        answers: its answers.
        answer_chance: chance of each answer by hypothesis.
        log_step: what each answer would add to the log-weight of each hypothesis.
    """

    finding: str
    answers: tuple[str, ...]
    answer_chance: Floats
    log_step: Floats


def open_findings(ranking: Ranking, *, behind_gates: bool = False) -> list[Open]:
    """Return the findings that can still be looked at, as each hypothesis would answer them.

    A thing is asked once: not in fine words after it was told in coarse ones, nor the other way.

    Args:
        ranking: the ranking as it stands.
        behind_gates: whether questions count whose gate is itself still open.
    """
    facts = ranking.tables.facts
    answered = set(ranking.masks) | set(ranking.evidence.answers)
    return [
        opened_at(ranking, name)
        for name, finding in facts.findings.items()
        if name not in answered
        and finding.looked_for
        and not shut(facts, ranking.evidence, name)
        and not (finding.gate and finding.gate_finding not in answered and not behind_gates)
        and not _told_otherwise(facts, name, answered)
    ]


def _told_otherwise(facts: DiagnosisFacts, name: str, answered: set[str]) -> bool:
    """Whether a finer or coarser form of the question was answered, or will be asked finely."""
    if HOST in answered and name in HOST_GROUPS:
        return True
    form = facts.findings[name].fine_of
    if form is not None and form.finding in answered:
        return True
    return any(
        f.fine_of is not None and f.fine_of.finding == name and f.id in answered
        for f in facts.findings.values()
    )


def opened_at(ranking: Ranking, name: str) -> Open:
    """Return one finding as each hypothesis would answer it."""
    tables = ranking.tables
    finding = tables.facts.findings[name]
    gated = finding.law is LikelihoodLaw.GATED
    answer_chance = _descriptor(ranking, name) if gated else ranking.space.answer_chance[name]
    return Open(name, finding.answers, answer_chance, tables.exponent[name] * np.log(answer_chance))


def _descriptor(ranking: Ranking, name: str) -> Floats:
    """Return the chances of a descriptor, given the descriptors already told."""
    tables, space = ranking.tables, ranking.space
    profile = spot_profile(tables, ranking.evidence, ranking.masks)
    answered = np.ones(tables.leak_row + 1) if profile is None else np.exp(profile)
    share = space.responsible * answered[space.members]
    share = share / share.sum(axis=1, keepdims=True)
    return np.asarray((share[:, :, None] * tables.cells[name].chance[space.members]).sum(axis=1))
