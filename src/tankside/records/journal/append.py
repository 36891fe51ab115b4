"""Add entries behind the last one: chain, people and moment of writing, within one transaction."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection, insert, select

from tankside.records.journal.chain import ChainedEntry, entry_hash
from tankside.records.journal.entry_rows import columns_of, end_of
from tankside.records.journal.people import PeopleRegister, people_in, set_apart
from tankside.records.journal.schema import ENTRY

JUMPED_BACK = timedelta(seconds=-2)
JUMPED_AHEAD = timedelta(hours=24)


@dataclass(frozen=True, slots=True)
class NewLines:
    """Entries of one case that are saved together, as canonical lines of a case file.

    Args:
        case_number: the case.
        version: the case version they follow.
        lines: the lines, each numbered on.
        label: short name of a case that begins with them.
        submission: key of the save.
        photos: fingerprints of the pictures that are saved with them.
    """

    case_number: int
    version: int
    lines: Sequence[str]
    label: str | None = None
    submission: str | None = None
    photos: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Appended:
    """What a save came to: the last entry of the journal, and whether the clock had jumped."""

    sequence: int
    clock_suspect: bool


def machine_clock() -> datetime:
    """Return the moment of writing by the clock of this machine."""
    return datetime.now(UTC)


def append_lines(connection: Connection, new: NewLines) -> Appended:
    """Write entries behind the last one of the journal; the caller is its only writer.

    The order is the sequence, whatever the clock says; a clock that jumped is marked.
    """
    sequence, last_hash = end_of(connection)
    now = machine_clock()
    clock = clock_mark(_last_written(connection), now)
    register = PeopleRegister(connection)
    rows = []
    for offset, line in enumerate(new.lines, 1):
        entry = json.loads(line)
        row = ChainedEntry(
            sequence=sequence + offset,
            case_number=new.case_number,
            case_version=new.version + offset,
            label=new.label if new.version + offset == 1 else None,
            written_at=now.isoformat(timespec="microseconds"),
            clock=clock if offset == 1 else None,
            recorded_at=entry["recorded_at"],
            occurred_at=entry["occurred_at"],
            author=register.number_of(entry["by"]),
            author_role=entry.get("role"),
            submission=new.submission,
            body=set_apart(line, register.number_of),
            previous=last_hash,
            hash="",
            photo=_photo_of(entry, new.photos),
        )
        last_hash = entry_hash(row, register.commitments(people_in(row.body) | {row.author}))
        rows.append(row._replace(hash=last_hash))
    connection.execute(insert(ENTRY), [columns_of(row) for row in rows])
    return Appended(sequence + len(rows), clock is not None)


def _photo_of(entry: Mapping[str, object], kept: frozenset[str]) -> str | None:
    sha256 = entry.get("sha256")
    return sha256 if isinstance(sha256, str) and sha256 in kept else None


def clock_mark(last: datetime | None, now: datetime) -> str | None:
    """Say how the clock jumped since the last entry was written: "back", "ahead" or not at all."""
    if last is None:
        return None
    if now - last < JUMPED_BACK:
        return "back"
    return "ahead" if now - last > JUMPED_AHEAD else None


def _last_written(connection: Connection) -> datetime | None:
    last = select(ENTRY.c.written_at).order_by(ENTRY.c.sequence.desc()).limit(1)
    text = connection.execute(last).scalar()
    return None if text is None else datetime.fromisoformat(text)
