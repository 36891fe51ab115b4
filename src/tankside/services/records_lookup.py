"""Look across the cases of the journal: search, what is due, how cases ended."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from tankside.errors import BadInput
from tankside.intake import clock
from tankside.intake.searched_names import names_meant
from tankside.library import load
from tankside.quantity.moment import parse_date
from tankside.records.journal.case_due import DueCase, due_cases
from tankside.records.journal.case_list import JournalCase, listed_cases
from tankside.records.journal.case_outcomes import OutcomeCount, outcome_counts
from tankside.records.journal.case_words import cases_with, near_words, plain_words
from tankside.records.journal.opening import open_journal
from tankside.records.journal.place import journal_place

LONGEST_SEARCH = 200


@dataclass(frozen=True, slots=True)
class DueList:
    """The cases that wait for somebody.

    Args:
        today: the day asked for.
        overdue: those that wait since an earlier day.
        due: those that wait from that day on, up to ``until``.
        until: the last day asked for.
    """

    today: date
    until: date
    overdue: tuple[DueCase, ...]
    due: tuple[DueCase, ...]


def search_cases(text: str, journal: str | None = None) -> list[JournalCase]:
    """Return the cases that fit every word, by number.

    A word is looked for in short name, name and place of the case, its waters, its animals, the
    conditions that stand, the agents, and the name of the keeper: its beginning will do, and so
    will a Latin or old name on file, or, where nothing fits, a slip of the pen.

    Raises:
        BadInput: E-WORD-02 nothing to search for, E-PATH-02 without a journal.
    """
    words = plain_words(text)
    if not words or len(text) > LONGEST_SEARCH:
        raise BadInput(
            "E-WORD-02",
            "There is nothing to search for." if not words else "This is too long to search for.",
            given=text,
            needed=f"one or more words, at most {LONGEST_SEARCH} characters",
            next_step="Type a name, a keeper, a tank, a kind of fish, a condition or an agent.",
            field="words",
        )
    with open_journal(journal_place(journal)).reading() as connection:
        numbers: set[int] | None = None
        for word in words:
            meant = names_meant(load(), word, plain_words, near_words)
            fitting = cases_with(connection, word, meant)
            numbers = fitting if numbers is None else numbers & fitting
        return listed_cases(connection, numbers=numbers)


def due_list(journal: str | None = None, *, on: str | None = None, days: int = 0) -> DueList:
    """Return the cases that wait for somebody.

    Args:
        journal: its place; None for the one of this user.
        on: the day that counts as today, as typed; None for the present day.
        days: how many days ahead are looked at too.

    Raises:
        BadInput: E-DATE-01 for no day, E-NUM-02 for days that cannot be.
    """
    today = parse_date(on, field="on") if on else clock.now().date()
    until = today + timedelta(days=days)
    with open_journal(journal_place(journal)).reading() as connection:
        waiting = due_cases(connection, until)
    overdue = tuple(case for case in waiting if case.due_on < today)
    return DueList(today, until, overdue, tuple(c for c in waiting if c.due_on >= today))


def outcomes(journal: str | None = None) -> list[OutcomeCount]:
    """Return how the cases of the journal ended, over all, by condition and by agent."""
    with open_journal(journal_place(journal)).reading() as connection:
        return outcome_counts(connection)
