"""The list of findings and their answers, by the piece of work that shows them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.claims.diagnosis import FindingFacts
from tankside.intake.finding_words import find_listed
from tankside.library.diagnosis_files import load_diagnosis

BY_ITSELF = "Asked by itself"


@dataclass(frozen=True, slots=True)
class FindingsListed:
    """Findings that hold a word.

    Args:
        word: the word asked for; "" for all.
        by_site: the findings by where or at what work they are seen.
    """

    word: str
    by_site: Mapping[str, tuple[FindingFacts, ...]]


def findings(word: str = "") -> FindingsListed:
    """Return the findings whose name, question or answers hold a word.

    Args:
        word: as typed; "" for every finding.

    Raises:
        BadInput: E-FIND-01 nothing holds the word.
    """
    facts = load_diagnosis()
    listed = find_listed(facts.findings, word)
    order = sorted(facts.sittings.values(), key=lambda sitting: sitting.order)
    labels = {sitting.id: sitting.label for sitting in order} | {"": BY_ITSELF}
    by_site = {
        label: tuple(asked for asked in listed if asked.sitting == sitting)
        for sitting, label in labels.items()
    }
    return FindingsListed(word, {label: some for label, some in by_site.items() if some})
