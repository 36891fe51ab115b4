"""One case of the journal: found by number or name, read, begun, added to."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, func, select

from tankside.case import Entry, decode, encode, entry_from, fold
from tankside.errors import BadInput, CouldNotSave
from tankside.records.journal.append import NewLines, append_lines
from tankside.records.journal.case_list import listed_cases
from tankside.records.journal.entry_rows import rows_of_case
from tankside.records.journal.opening import open_journal
from tankside.records.journal.people import (
    PeopleRegister,
    canonical_line,
    name_people,
    names_of,
    people_in,
    people_of,
    put_back,
)
from tankside.records.journal.photos import keep_photos, photo_in
from tankside.records.journal.place import JournalPlace, journal_place
from tankside.records.journal.projected_case import ProjectedCase
from tankside.records.journal.projections import project
from tankside.records.journal.refusals import broken
from tankside.records.journal.schema import ENTRY
from tankside.records.journal.walk import ChainWalk
from tankside.records.kept_photo import KeptPhoto
from tankside.records.stored_case import StoredCase, digest_of, keepable, names_file

HEADER = encode(())
LONGEST_LABEL = 100
SHOWN_CASES = 8


@dataclass(frozen=True, slots=True)
class CaseText:
    """A case as the journal keeps it: short name, canonical bytes, and its entries as data."""

    label: str
    data: bytes
    values: tuple[dict[str, object], ...]


def lines_of(entries: Sequence[Entry]) -> list[str]:
    """Return entries as canonical lines."""
    return encode(entries).decode("utf-8").split("\n")[1:-1]


def read_case(reference: str, place: JournalPlace | None = None) -> StoredCase:
    """Read a case whole; each of its entries is checked against its hash.

    Args:
        reference: its number, short name or name.
        place: of the journal; None for the one of this user.

    Raises:
        BadInput: E-CASE-06 there is none, E-CASE-07 several have the name.
        NotPossible: E-DB-05 to E-DB-09.
    """
    journal = open_journal(place)
    with journal.reading() as connection:
        number = number_of(connection, reference, journal.place)
        text = case_text(connection, number, journal.place)
    entries = tuple(map(entry_from, text.values))
    return StoredCase(str(number), entries, digest_of(text.data), canonical=text.data)


def create_case(
    label: str,
    entries: Sequence[Entry],
    place: JournalPlace | None = None,
    photos: Sequence[KeptPhoto] = (),
) -> StoredCase:
    """Begin a case in the journal; the journal is made when there is none.

    Args:
        label: its short name.
        entries: the opening first.
        place: of the journal; None for the one of this user.
        photos: the pictures that its entries came with.

    Raises:
        BadInput: E-PATH-01 a short name that cannot be used, E-PATH-03 one that is taken.
        CouldNotSave: E-DB-02 to E-DB-04; nothing was written.
    """
    check_label(label)
    view = fold(entries)
    data = keepable(None, entries)
    journal = open_journal(place or journal_place(), make=True)
    with journal.writing() as connection:
        if labelled(connection, label) is not None:
            raise BadInput(
                "E-PATH-03",
                "A case with this short name is in the journal already; it is left as it is.",
                given=label,
                needed="a new short name",
                next_step="Choose another name.",
                field="case",
            )
        highest = connection.execute(select(func.max(ENTRY.c.case_number))).scalar()
        number = int(highest or 0) + 1
        kept = keep_photos(connection, photos)
        new = NewLines(number, 0, lines_of(entries), label, photos=kept)
        done = append_lines(connection, new)
        case = ProjectedCase(number, label, view, PeopleRegister(connection).number_of)
        project(connection, case, done.sequence)
    return StoredCase(str(number), tuple(entries), digest_of(data), done.clock_suspect)


def append_entries(
    stored: StoredCase,
    new: Sequence[Entry],
    *,
    submission: str | None = None,
    place: JournalPlace | None = None,
    photos: Sequence[KeptPhoto] = (),
) -> StoredCase:
    """Add entries to a case as it was read; see ``case_store.append_entries``."""
    journal = open_journal(place)
    number = int(str(stored.reference))
    entries = (*stored.entries, *new)
    # What takes longer the longer the case is, is done before anybody has to wait for it.
    view, data, lines = fold(entries), keepable(stored, new), lines_of(new)
    with journal.writing() as connection:
        if submission is not None:
            repeated = _repeated(connection, number, submission, lines)
            if repeated:
                text = case_text(connection, number, journal.place)
                standing = decode(text.data)[:repeated]
                return StoredCase(str(number), standing, digest_of(encode(standing)))
        _check_version(connection, stored)
        kept = keep_photos(connection, photos)
        added = NewLines(number, stored.version, lines, submission=submission, photos=kept)
        done = append_lines(connection, added)
        label = _label_of(connection, number)
        case = ProjectedCase(number, label, view, PeopleRegister(connection).number_of)
        project(connection, case, done.sequence)
    return StoredCase(str(number), entries, digest_of(data), done.clock_suspect, data, view)


def read_photo(sha256: str, place: JournalPlace | None = None) -> bytes | None:
    """Return the bytes of a picture; see ``case_store.read_case_photo``."""
    journal = open_journal(place)
    with journal.reading() as connection:
        photo = photo_in(connection, sha256, journal.place)
    return None if photo is None else photo.data


def add_photos(photos: Sequence[KeptPhoto], place: JournalPlace | None = None) -> None:
    """Keep pictures of entries that stand in the journal already."""
    with open_journal(place).writing() as connection:
        keep_photos(connection, photos)


def sent_before(
    stored: StoredCase, submission: str, place: JournalPlace | None = None
) -> StoredCase | None:
    """Return the case as it stood before a save with this key; see ``case_store.sent_before``."""
    wanted = select(func.min(ENTRY.c.case_version)).where(
        ENTRY.c.submission == submission, ENTRY.c.case_number == int(str(stored.reference))
    )
    with open_journal(place).reading() as connection:
        first = connection.execute(wanted).scalar()
    if first is None:
        return None
    entries = stored.entries[: int(first) - 1]
    return StoredCase(stored.reference, entries, digest_of(encode(entries)))


def number_of(connection: Connection, reference: str, place: JournalPlace) -> int:
    """Return the number of the case that a number, short name or name means.

    Raises:
        BadInput: E-CASE-06 or E-CASE-07.
    """
    if reference.isascii() and reference.isdigit():
        wanted = select(ENTRY.c.case_number).where(ENTRY.c.case_number == int(reference)).limit(1)
        numbers = list(connection.execute(wanted).scalars()) if len(reference) < 16 else []
    else:
        labelled_number = labelled(connection, reference)
        numbers = [] if labelled_number is None else [labelled_number]
        if not numbers:
            numbers = [case.number for case in listed_cases(connection, name=reference)]
    if not numbers:
        raise BadInput(
            "E-CASE-06",
            "There is no such case in the journal.",
            given=f"{reference} ({place})",
            needed="number or name of a case, or the path of a case file ending in .jsonl",
            next_step="List the cases with: tankside records list",
            field="case",
        )
    if len(numbers) > 1:
        raise BadInput(
            "E-CASE-07",
            "Several cases have this name.",
            given=reference,
            needed="the number of the case: " + ", ".join(map(str, numbers[:SHOWN_CASES])),
            next_step="Give the number instead of the name.",
            field="case",
        )
    return int(numbers[0])


def labelled(connection: Connection, label: str) -> int | None:
    """Return the number of the case with a short name."""
    wanted = select(ENTRY.c.case_number).where(ENTRY.c.label == label)
    number = connection.execute(wanted).scalar()
    return None if number is None else int(number)


def _label_of(connection: Connection, number: int) -> str:
    first = select(ENTRY.c.label).where(ENTRY.c.case_number == number, ENTRY.c.case_version == 1)
    return str(connection.execute(first).scalar())


def case_text(connection: Connection, number: int, place: JournalPlace) -> CaseText:
    """Return the canonical bytes of a case.

    Raises:
        NotPossible: E-DB-05 when an entry is not as it was written.
    """
    rows = rows_of_case(connection, number)
    if not rows:
        raise broken(place, f"the entries of case {number} are missing")
    values = [_content(row.body) for row in rows]
    named = [people_of(value) for value in values]
    walk = ChainWalk(connection, frozenset().union(*named, (row.author for row in rows)))
    for version, (row, people) in enumerate(zip(rows, named, strict=True), 1):
        if row.case_version != version or walk.hash_of(row, people) != row.hash:
            raise broken(place, f"entry {row.sequence} is not as it was written")
    names = names_of(connection, set().union(*named))
    for value in values:
        name_people(value, names)
    lines = "".join(canonical_line(value) + "\n" for value in values)
    return CaseText(str(rows[0].label), HEADER + lines.encode("utf-8"), tuple(values))


def _content(body: str) -> dict[str, object]:
    """Return a body as data; one that is broken is empty, and does not have its hash."""
    try:
        value = json.loads(body)
    except ValueError:
        value = None
    return value if isinstance(value, dict) else {}


def check_label(label: str) -> None:
    """Refuse a short name that could not be told from a number, a path or an option.

    Raises:
        BadInput: E-PATH-01.
    """
    hidden = any(unicodedata.category(sign) in ("Cc", "Cf", "Cs") for sign in label)
    plain = label.strip() == label and 0 < len(label) <= LONGEST_LABEL and label[0] not in "-."
    if hidden or not plain or label.isdigit() or names_file(label):
        raise BadInput(
            "E-PATH-01",
            "This cannot be the short name of a case.",
            given=label,
            needed=f"1 to {LONGEST_LABEL} visible characters, no / and \\, not digits alone",
            next_step="Choose another name; the journal gives the number.",
            field="case",
        )


def _check_version(connection: Connection, stored: StoredCase) -> None:
    number = int(str(stored.reference))
    last = select(func.max(ENTRY.c.case_version)).where(ENTRY.c.case_number == number)
    version = connection.execute(last).scalar()
    if version != stored.version:
        raise CouldNotSave(
            "E-WEB-04",
            "The case was changed by somebody else since it was read.",
            given=f"case {number}, read at entry {stored.version}, now at {version or 0}",
            needed="the present version",
            next_step="Read the case again, look at what was added, then enter yours.",
            field="case",
        )


def _repeated(connection: Connection, number: int, submission: str, lines: list[str]) -> int:
    """Return the case version after a save that was made before with the same key; 0 if none.

    Raises:
        BadInput: E-DUP-02 when the key was used for something else.
    """
    wanted = (
        select(ENTRY.c.case_number, ENTRY.c.case_version, ENTRY.c.body)
        .where(ENTRY.c.submission == submission)
        .order_by(ENTRY.c.sequence)
    )
    rows = connection.execute(wanted).all()
    if not rows:
        return 0
    names = names_of(connection, set().union(*(people_in(row.body) for row in rows)))
    before = [said(put_back(row.body, names)) for row in rows]
    if {row.case_number for row in rows} != {number} or before != [said(x) for x in lines]:
        raise BadInput(
            "E-DUP-02",
            "This key was used for another save.",
            given=submission,
            needed="a key of its own for each save",
            next_step="Send it again with a new key; nothing was saved.",
            field="submission",
        )
    return int(rows[-1].case_version)


def said(line: str) -> dict[str, object]:
    """Return what an entry says, without number and moments, which each try gives it anew."""
    value: dict[str, object] = json.loads(line)
    return {key: value[key] for key in value.keys() - {"id", "recorded_at", "occurred_at"}}
