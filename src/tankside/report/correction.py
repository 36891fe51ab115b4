"""The page on which an entry is corrected: what it says, and its form filled in with it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from tankside.case import CATALOGUE
from tankside.case.entry import Correction
from tankside.case.typed_again import word_of
from tankside.errors import BadInput, Mistake
from tankside.quantity.dates import entry_moment_words
from tankside.report.case_text import entry_text
from tankside.report.entry_form import OPENED, VALUE, EntryForm, entry_form, sent_again
from tankside.report.page import OpenCase

WHEN = f"{VALUE}on"
NOT_BY_FORM = ("course_chosen",)
"""Kinds that are made by a search and can only be taken back."""


@dataclass(frozen=True, slots=True)
class CorrectionPage:
    """What the page of a correction shows.

    Args:
        number: of the entry.
        word: the word that names its kind.
        said: what it says, with its date.
        title: what such an entry is called.
        form: the form filled in with what it says; None where it can only be taken back.
        void: whether it was taken back already.
        opens: whether it is the opening of the case, which cannot be taken back.
    """

    number: int
    word: str
    said: str
    title: str
    form: EntryForm | None
    void: bool
    opens: bool


def correction_page(
    case: OpenCase,
    number: int,
    sent: Mapping[str, Sequence[str]] | None = None,
    mistake: Mistake | None = None,
) -> CorrectionPage:
    """Return the page on which an entry is corrected.

    Args:
        case: the case.
        number: of the entry.
        sent: what was filled in, when the form comes back.
        mistake: why it comes back.

    Raises:
        BadInput: E-CASE-02 there is no such entry, or it is itself a correction.
    """
    lines = {line.entry.id: line for line in case.view.history}
    line = lines.get(number)
    if line is None or isinstance(line.entry, Correction):
        raise BadInput(
            "E-CASE-02",
            "There is no such entry to correct.",
            given=number,
            needed="the number of an entry of the story that is no correction",
            next_step="Look at the entries with: tankside case show FILE --history",
            field="correct",
        )
    stands = line.current if line.current is not None else line.entry
    assert not isinstance(stands, Correction)
    word = OPENED if stands.kind == OPENED else word_of(stands)
    moment = entry_moment_words(stands.moment)
    form = None
    if stands.kind not in NOT_BY_FORM:
        filled = sent if sent is not None else sent_again(stands, word)
        form = _as_it_was(entry_form(word, filled, mistake), moment)
    return CorrectionPage(
        number=number,
        word=word,
        said=f"{moment}: {entry_text(stands)}",
        title=CATALOGUE.of(stands).title,
        form=form,
        void=line.void,
        opens=stands.kind == OPENED,
    )


def _as_it_was(form: EntryForm, moment: str) -> EntryForm:
    """Say of the day that it stays as it was where it is left open."""
    hint = f"left open: as it was, {moment}"
    every = (
        tuple(replace(f, hint=hint) if f.key == WHEN else f for f in part)
        for part in (form.first, form.more)
    )
    first, more = every
    return replace(form, first=first, more=more)
