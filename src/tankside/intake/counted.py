"""Counts of a case and the parasite a question is about: which speak of it, which of a sign."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tankside.case import CaseView, Entry
from tankside.case.entry import Correction
from tankside.case.parts import Looked
from tankside.case.seen import CountMade
from tankside.case.view import AnswerView
from tankside.claims import Knowledge
from tankside.claims.counted_words import countable, countables, near_words
from tankside.claims.diagnosis import DiagnosisFacts
from tankside.claims.organism import Organism
from tankside.errors import BadInput


def counts_of(facts: Knowledge, what: str, organism: Organism) -> bool:
    """Whether a number of what was counted is a number of this parasite.

    Args:
        facts: what can be counted.
        what: the word of the count.
        organism: the parasite that is asked about.
    """
    meant = countable(facts, what)
    return meant is not None and organism.id in meant.organisms


def counts_as_looks(
    view: CaseView, diagnosis: DiagnosisFacts, facts: Knowledge
) -> dict[str, list[AnswerView]]:
    """Return the counts that answer a finding, as looks at it.

    Some were there: the answers that fit. A count of none answers it while no count of the case
    showed any; spots that are gone after a course do not tell what they were not.

    Args:
        view: the case.
        diagnosis: the findings.
        facts: what can be counted.
    """
    looks: dict[str, list[AnswerView]] = {}
    for count in view.counts:
        meant = countable(facts, count.what)
        asked = diagnosis.findings.get(meant.finding) if meant is not None else None
        answerable = count.state == "answered" and count.examined != 0
        if meant is None or asked is None or not answerable:
            continue
        if meant.sites and count.method not in meant.sites:
            continue
        ill = meant.answers or tuple(a for a in asked.answers if a != asked.baseline_answer)
        looked = (
            Looked(finding=asked.id, state="answered", answers=ill)
            if count.positive
            else Looked(finding=asked.id, state="none")
        )
        view_of = AnswerView(
            looked, count.moment, count.id, count.method, count.fish, count.group, count.system
        )
        looks.setdefault(asked.id, []).append(view_of)
    return {name: _shown(of_finding) for name, of_finding in looks.items()}


def _shown(looks: list[AnswerView]) -> list[AnswerView]:
    return [look for look in looks if look.answers] or looks


def refuse_uncounted(facts: Knowledge, entry: Entry) -> None:
    """Refuse a count of something that nothing on file is called.

    Args:
        facts: what can be counted.
        entry: an entry that is being written; a correction is held by what stands in its place.

    Raises:
        BadInput: E-WORD-02, with the words that are near.
    """
    made = entry.replacement if isinstance(entry, Correction) else entry
    if not isinstance(made, CountMade) or countable(facts, made.what) is not None:
        return
    near = ", ".join(near_words(facts, made.what))
    usual = ", ".join(thing.words[0] for thing in countables(facts))
    raise BadInput(
        "E-WORD-02",
        "Nothing that can be counted is called so.",
        given=made.what,
        needed=f"perhaps {near}" if near else f"one of: {usual}",
        next_step="Type what was counted with another word, or keep it as a note.",
        field="what",
    )


def counts_beside(
    facts: Knowledge, standing: Sequence[Organism], entries: Iterable[Entry]
) -> list[str]:
    """Return one note for each count that is not of a parasite suspected or confirmed here.

    Args:
        facts: what is known.
        standing: the parasites suspected or confirmed.
        entries: entries just added.
    """
    notes = []
    for entry in entries:
        if not isinstance(entry, CountMade):
            continue
        meant = countable(facts, entry.what)
        if meant is None or (meant.organisms and not standing):
            continue
        if {organism.id for organism in standing} & set(meant.organisms):
            continue
        ranked = "the ranking reads it" if meant.finding else "the ranking does not read it"
        other = ", ".join(organism.name for organism in standing) or "a parasite"
        notes.append(
            f"{entry.what}: not a count of {other}, so no plan or follow-up of it uses it; {ranked}"
        )
    return notes
