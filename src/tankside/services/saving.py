"""How a save rests on what somebody saw: refused when it must be, tried again when it may be.

A plain addition says what happened, whatever else was written meanwhile, so it is put behind
what is there now. What was worked out or decided from the case as it was seen is refused as soon
as the case holds more.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from tankside.case import Entry, to_object
from tankside.case.catalogue import CATALOGUE
from tankside.errors import BadInput, CouldNotSave
from tankside.records.case_store import append_entries, read_case, sent_before
from tankside.records.kept_photo import KeptPhoto
from tankside.records.stored_case import StoredCase

STALE = "E-WEB-04"
MOST_TRIES = 200
LONGEST_PAUSE_S = 0.05
NAMED_ENTRIES = 6
SAME_MOMENT = timedelta(minutes=5)
"""Two entries of the same content, this close together, are the same told twice."""
_OF_THE_WRITING = ("id", "recorded_at", "by", "role", "occurred_at")

Make = Callable[[StoredCase], Sequence[Entry]]
"""Makes the new entries for the case as it stands."""


@dataclass(frozen=True, slots=True)
class Added:
    """What a save put into the case: the case as it stands now and the new entries."""

    stored: StoredCase
    new: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Sent:
    """How a save was sent.

    Args:
        seen: the version of the case that whoever sends it saw; None: as it is read now.
        submission: key of this save; sent again with the same entries it is one save.
        role: as what the sender writes, "keeper", "practitioner" or "student"; None: nobody said.
        again: what adds up happened once more, though the case holds the same already.
    """

    seen: int | None = None
    submission: str | None = None
    role: str | None = None
    again: bool = False


JUST_SENT = Sent()


def save(
    reference: str | Path,
    make: Make,
    sent: Sent = JUST_SENT,
    photos: Sequence[KeptPhoto] = (),
) -> Added:
    """Add entries to a case; all of them or none.

    Args:
        reference: the case.
        make: makes the entries; called anew for each try.
        sent: how the save was sent.
        photos: the pictures that the entries come with.

    Raises:
        BadInput: what ``make`` refuses; E-DUP-03 the same stands in the case already; E-DUP-02
            the key was used for something else.
        CouldNotSave: E-WEB-04 the case holds more than was seen and the entries rest on that;
            E-DB-02 to E-DB-04 the disk refused. What was there is intact.
    """
    seen = sent.seen
    for last_try in (*[False] * (MOST_TRIES - 1), True):
        stored = read_case(reference)
        earlier = sent_before(stored, sent.submission)
        if earlier is None and seen is not None and seen != stored.version:
            _refuse_stale(stored, seen, make)
        made_on = stored if earlier is None else earlier
        new = tuple(make(made_on))
        if earlier is None and not sent.again:
            _refuse_repeated(stored.entries, new)
        try:
            saved = append_entries(made_on, new, submission=sent.submission, photos=photos)
        except CouldNotSave as refused:
            if refused.code != STALE or last_try:
                raise
            seen = stored.version if seen is None else seen
            time.sleep(random.uniform(0, LONGEST_PAUSE_S))
        else:
            return Added(saved, new)
    raise AssertionError("the last try answers or raises")


def rests_on_seen(entry: Entry) -> bool:
    """Whether an entry was worked out or decided from the case as somebody saw it."""
    return CATALOGUE.of(entry).rests_on_seen


def moved_on(stored: StoredCase, seen: int) -> CouldNotSave:
    """Return the refusal of a save that rests on an older version of a case, with what is new."""
    new = stored.entries[seen:] if seen < stored.version else ()
    named = [f"{entry.id} {CATALOGUE.of(entry).title}" for entry in new[:NAMED_ENTRIES]]
    more = len(new) - len(named)
    listed = ", ".join(named) + (f" and {more} more" if more > 0 else "")
    return CouldNotSave(
        STALE,
        f"The case was changed since it was seen. New in it: {listed or 'nothing'}.",
        given=f"{stored.label}, seen at entry {seen}, now at {stored.version}",
        needed="the present version",
        next_step="Look at what was added, then enter yours again; nothing was saved.",
        field="case",
    )


def _refuse_stale(stored: StoredCase, seen: int, make: Make) -> None:
    """Refuse entries that rest on a case that holds more by now, as they were meant then."""
    then = StoredCase(stored.reference, stored.entries[:seen], stored.digest)
    if any(rests_on_seen(entry) for entry in make(then)):
        raise moved_on(stored, seen)


def _refuse_repeated(standing: Sequence[Entry], new: Sequence[Entry]) -> None:
    """Refuse what adds up and stands in the case already, word for word and at the same time.

    Raises:
        BadInput: E-DUP-03.
    """
    for entry in new:
        kind = CATALOGUE.of(entry)
        if kind.adds_up is None or not kind.adds_up(entry):
            continue
        before = next((old for old in reversed(standing) if _same(old, entry)), None)
        if before is not None:
            raise BadInput(
                "E-DUP-03",
                f"The same stands in the case already, as entry {before.id}.",
                given=f"{kind.title}: {CATALOGUE.text(entry)}",
                needed="something new, or word that it happened once more",
                next_step="If it did happen once more, say --again; nothing was saved.",
                field="again",
            )


def _same(old: Entry, new: Entry) -> bool:
    if old.kind != new.kind or old.day_only != new.day_only:
        return False
    apart = abs(_instant(old) - _instant(new))
    if apart > (timedelta() if old.day_only else SAME_MOMENT):
        return False
    return _content(old) == _content(new)


def _instant(entry: Entry) -> datetime:
    return entry.moment.utc


def _content(entry: Entry) -> dict[str, object]:
    said = to_object(entry)
    return {key: value for key, value in said.items() if key not in _OF_THE_WRITING}
