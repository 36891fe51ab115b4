"""The cases of the journal as tables for other programs, with their photos, and back again.

``entries.csv`` and ``cases.json`` hold every entry whole, so that either gives the same case files
again; ``cases.csv`` is the list. A cell that a spreadsheet would run is written behind an
apostrophe; the column ``content`` begins with a bracket and is never one.
"""

from __future__ import annotations

import csv
import hashlib
import json
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TextIO

from tankside.case import decode
from tankside.case.catalogue import CATALOGUE
from tankside.case.seen import Photo
from tankside.errors import BadInput
from tankside.quantity.strict_json import parse_json
from tankside.quantity.table import read_table
from tankside.records.journal.case_list import JournalCase, listed_cases
from tankside.records.journal.cases import HEADER, case_text
from tankside.records.journal.opening import open_journal
from tankside.records.journal.people import canonical_line
from tankside.records.journal.photos import held, photo_in
from tankside.records.journal.place import journal_place
from tankside.records.photo_folder import write_photos
from tankside.records.whole_file import only_writer, put_new, write_whole
from tankside.services.cases import bytes_of

CASES_CSV, ENTRIES_CSV, CASES_JSON, PHOTOS = "cases.csv", "entries.csv", "cases.json", "photos"
TABLE_ENDINGS = (".csv", ".json")
CASE_COLUMNS = ("case", "label", "name", "keeper", "opened", "last", "entries", "closed")
ENTRY_COLUMNS = (
    "label", "entry", "kind", "occurred_at", "recorded_at", "by", "role", "words", "content",
)  # fmt: skip
_RUNS = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True)
class TablesWritten:
    """What was written.

    Args:
        cases: how many cases.
        entries: how many entries.
        photos: names of the photos that were copied; of those kept in the journal, which are
            written under them, the fingerprints.
        missing: photos that cases name and that are not there, or are not as they were.
    """

    cases: int
    entries: int
    photos: tuple[str, ...]
    missing: tuple[str, ...]


def export_tables(
    folder: str | Path, journal: str | None = None, *, photos: str | None = None
) -> TablesWritten:
    """Write the cases of the journal as tables, and copy the photos that they name.

    Args:
        folder: where they go; tables that are there are replaced.
        journal: its place; None for the one of this user.
        photos: the folder in which the photos are; None: none is copied.

    Raises:
        BadInput: E-PATH-01 there is no such folder, E-PATH-02 there is no journal.
        CouldNotSave: E-DB-02 to E-DB-04.
    """
    target = Path(folder)
    for needed in (target, *([Path(photos)] if photos else [])):
        if not needed.is_dir():
            raise _no_folder(needed)
    place = journal_place(journal)
    with (
        open_journal(place).reading() as connection,
        _new_file(target / CASES_CSV) as list_file,
        _new_file(target / ENTRIES_CSV) as entry_file,
        _new_file(target / CASES_JSON) as json_file,
    ):
        written = _Tables(csv.writer(list_file), csv.writer(entry_file), json_file)
        cases = listed_cases(connection)
        for case in cases:
            written.add(case, case_text(connection, case.number, place).data)
        json_file.write("]}\n")
        kept = held(connection, {p.sha256 for p in written.pictures if p.sha256 is not None})
        for sha256 in sorted(kept):
            photo = photo_in(connection, sha256, place)
            write_photos(target / PHOTOS, [photo] if photo else [])
    others = [picture for picture in written.pictures if picture.sha256 not in kept]
    copied, missing = _copy_photos(others, photos, target / PHOTOS)
    copied = (*sorted(kept), *copied)
    return TablesWritten(len(cases), written.entries, copied, missing)


class _Tables:
    """The three tables while they are written, case by case."""

    def __init__(self, cases: Any, entries: Any, whole: TextIO) -> None:  # noqa: ANN401 (csv's)
        self._cases, self._entries, self._whole = cases, entries, whole
        self.entries = 0
        self.pictures: list[Photo] = []
        cases.writerow(CASE_COLUMNS)
        entries.writerow(ENTRY_COLUMNS)
        whole.write('{"format":"tankside-cases","version":1,"cases":[')

    def add(self, case: JournalCase, data: bytes) -> None:
        """Write a case, as the canonical bytes of its file."""
        lines = data.decode("utf-8").split("\n")[1:-1]
        self._cases.writerow(map(_cell, _case_row(case)))
        for line, entry in zip(lines, decode(data), strict=True):
            said = (entry.id, entry.kind, entry.occurred_at, entry.recorded_at, entry.by)
            row = (case.label, *said, entry.role or "", CATALOGUE.text(entry))
            self._entries.writerow((*map(_cell, row), line))
            if isinstance(entry, Photo):
                self.pictures.append(entry)
        content = {"label": case.label, "entries": list(map(json.loads, lines))}
        comma = "," if self.entries else ""
        self._whole.write(comma + json.dumps(content, ensure_ascii=False, sort_keys=True))
        self.entries += len(lines)


def cases_in_table(file: Path) -> dict[str, bytes]:
    """Return the case files that a table holds, by short name.

    Raises:
        BadInput: E-CSV-*, E-JSON-* or E-CASE-01 for what is no such table, E-PATH-02 no file.
    """
    data = bytes_of(file)
    lines: dict[str, list[str]] = {}
    if file.suffix == ".csv":
        for row in read_table(data, needed=("label", "content")).rows:
            cells: Mapping[str, str] = dict(row.cells)
            lines.setdefault(_uncell(cells.get("label", "")), []).append(cells.get("content", ""))
    else:
        value: Any = parse_json(data)
        if not isinstance(value, dict) or value.get("format") != "tankside-cases":
            raise _no_table(file)
        for case in value["cases"]:
            texts = [canonical_line(entry) for entry in case["entries"]]
            lines.setdefault(str(case["label"]), []).extend(texts)
    return {
        label: HEADER + "".join(line + "\n" for line in each).encode("utf-8")
        for label, each in lines.items()
    }


def _case_row(case: JournalCase) -> Sequence[object]:
    closed = "yes" if case.closed else "no"
    return (
        case.number, case.label, case.name, case.keeper, case.opened, case.last, case.entries,
        closed,
    )  # fmt: skip


def _cell(value: object) -> str:
    text = str(value)
    return f"'{text}" if text.startswith((*_RUNS, "'")) else text


def _uncell(text: str) -> str:
    return text.removeprefix("'")


@contextmanager
def _new_file(path: Path) -> Iterator[TextIO]:
    """Give a text file that takes the place of the old one only when it is written whole."""
    beside = path.with_name(f".{path.name}.new")
    with only_writer(path):
        try:
            with beside.open("w", encoding="utf-8", newline="") as handle:
                yield handle
            put_new(beside, path)
        finally:
            beside.unlink(missing_ok=True)


def _copy_photos(
    pictures: Sequence[Photo], source: str | None, target: Path
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Copy each photo that is there and is as it was told; return those, and the others."""
    if source is None or not pictures:
        return (), ()
    os.makedirs(target, exist_ok=True)
    copied, missing = [], []
    for picture in {picture.file: picture for picture in pictures}.values():
        file = Path(source) / picture.file
        data = file.read_bytes() if file.is_file() and not file.is_symlink() else None
        if data is None or picture.sha256 not in (None, hashlib.sha256(data).hexdigest()):
            missing.append(picture.file)
            continue
        write_whole(target / picture.file, data)
        copied.append(picture.file)
    return tuple(copied), tuple(missing)


def _no_folder(place: Path) -> BadInput:
    return BadInput(
        "E-PATH-01",
        "The folder does not exist.",
        given=str(place),
        needed="a folder that exists",
        next_step="Make the folder; nothing was written.",
        field="folder",
    )


def _no_table(file: Path) -> BadInput:
    return BadInput(
        "E-CASE-01",
        "This file holds no cases of the journal.",
        given=str(file),
        needed=f"{ENTRIES_CSV} or {CASES_JSON} as records export --tables writes them",
        next_step="Choose another file; nothing was taken.",
        field="folder",
    )
