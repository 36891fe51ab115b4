"""Which case of the journal comes first.

Thousands of cases are not read for one list. The tables of the journal say which are closed, which
wait for somebody and which were told of lately; only the latter can hold a fish that gasped or
died within a day. Those and the ones that are shown are read, each once for as long as it stands.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import groupby, islice
from operator import itemgetter
from threading import Lock

from tankside.errors import Mistake
from tankside.intake import clock
from tankside.records.case_store import read_case
from tankside.records.journal.case_standing import (
    CaseStanding,
    cases_with_course,
    last_sequence,
    standings,
)
from tankside.records.journal.opening import open_journal
from tankside.services.board import MOST_SHOWN, BoardCase, BoardListing, Urgency, in_short
from tankside.services.records_lookup import search_cases

LATELY = timedelta(days=1)
"""How far back the last entry of a case may lie for a fish of it to have gasped within a day."""
MOST_KEPT = 2000
LAST = "~"
"""Stands behind every day."""
Row = tuple[Urgency, str, int]


class JournalBoard:
    """The cases of the journal of this user, the most urgent first."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._standings: list[CaseStanding] = []
        self._with_course: set[int] = set()
        self._versions: dict[int, int] = {}
        self._through = 0
        self._order: list[Row] = []
        self._stamp = (-1, "")
        self._read: dict[int, tuple[tuple[int, str], BoardCase]] = {}

    def listed(self, sought: str = "") -> BoardListing:
        """Return the cases that hold every word of what is sought, some of each urgency.

        Raises:
            BadInput: E-PATH-02 when there is no journal; E-WORD-02 nothing to search for.
            NotPossible: E-DB-05 to E-DB-09 when it cannot be used.
        """
        wanted = {case.number for case in search_cases(sought)} if sought else None
        with self._lock:
            self._catch_up()
            order = self._in_order()
            if wanted is not None:
                order = [row for row in order if -row[2] in wanted]
            numbers = Counter(map(itemgetter(0), order))
            shown = [self._case(n, self._versions[n], urgency) for urgency, n in _some(order)]
        return BoardListing(shown, numbers, len(self._standings))

    def _in_order(self) -> list[Row]:
        """Return urgency, first day due and negative number of each case, in the order shown.

        Put in order once an hour and whenever the journal holds more.
        """
        stamp = (self._through, clock.now().isoformat(timespec="hours"))
        if stamp != self._stamp:
            today = clock.now().date()
            self._order = sorted(
                (self._urgency(standing, today), standing.due_on or LAST, -standing.number)
                for standing in self._standings
            )
            self._stamp = stamp
        return self._order

    def _catch_up(self) -> None:
        """Take note of what was written to the journal since it was last looked at."""
        with open_journal().reading() as connection:
            last = last_sequence(connection)
            if last == self._through:
                return
            self._with_course |= cases_with_course(connection, self._through)
            self._standings = standings(connection)
            self._versions = {each.number: each.version for each in self._standings}
            self._through = last

    def _urgency(self, standing: CaseStanding, today: date) -> Urgency:
        if standing.is_closed:
            return Urgency.CLOSED
        if standing.last >= (today - LATELY).isoformat():
            read = self._case(standing.number, standing.version)
            if read.urgency is Urgency.NOW:
                return Urgency.NOW
        if standing.due_on and standing.due_on <= today.isoformat():
            return Urgency.DUE
        return Urgency.WATCHED if standing.number in self._with_course else Urgency.OPEN

    def _case(self, number: int, version: int, urgency: Urgency | None = None) -> BoardCase:
        """Return a case in short, read once for each version and hour."""
        stamp = (version, clock.now().isoformat(timespec="hours"))
        kept = self._read.get(number)
        if kept is None or kept[0] != stamp:
            kept = self._read[number] = (stamp, _read(number, urgency))
            while len(self._read) > MOST_KEPT:
                self._read.pop(next(iter(self._read)))
        case = kept[1]
        return case if urgency is None or case.view is None else _as_listed(case, urgency)


def _read(number: int, urgency: Urgency | None) -> BoardCase:
    try:
        return in_short(str(number), read_case(str(number)).view())
    except Mistake as fault:
        return BoardCase(str(number), urgency or Urgency.UNREADABLE, fault=str(fault))


def _as_listed(case: BoardCase, urgency: Urgency) -> BoardCase:
    return case if case.urgency is urgency else replace(case, urgency=urgency)


def _some(order: list[Row]) -> Iterator[tuple[Urgency, int]]:
    """Yield urgency and number of the first cases of each urgency."""
    for _, rows in groupby(order, itemgetter(0)):
        for urgency, _, number in islice(rows, MOST_SHOWN):
            yield urgency, -number
