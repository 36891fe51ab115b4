"""Add entries to a case from a CSV or JSON file: all of it or nothing, faults with their line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from tankside.case import Entry
from tankside.case.codec import at_line
from tankside.case.typed_entry import split_words, typed_entries
from tankside.case.typed_value import Door, Fields, Typed
from tankside.errors import BadInput, Mistake
from tankside.quantity.strict_json import parse_json
from tankside.quantity.table import Row, read_table, text_of
from tankside.quantity.typed_line import parted
from tankside.records.stored_case import StoredCase
from tankside.services.cases import Writer, bytes_of, door_of, first_refused, number_on
from tankside.services.saving import JUST_SENT, Added, Sent, save

Filed = tuple[int, Fields]


def add_from_file(
    path: str | Path, source: str | Path, *, kind: str | None, by: str, sent: Sent = JUST_SENT
) -> Added:
    """Add the entries of a ``.csv``, ``.json`` or ``.jsonl`` file.

    A CSV has one entry a row, its columns named like the keys of ``case add`` and the kind in a
    column ``kind`` or in ``kind``; a column may carry its unit (``temperature [C]``). JSON holds
    entries as in docs/schema/case.v1.json without ``id``, ``recorded_at`` and ``by``: a list, or
    one a line.

    Raises:
        BadInput: the first fault, with its line; nothing is added.
        CouldNotSave: the disk refused; the case is as it was.
    """
    file = Path(source)
    data = bytes_of(file)
    writer = Writer(by, sent.role)
    return save(path, lambda stored: _filed_entries(stored, file, data, kind, writer), sent)


def add_from_lines(path: str | Path, data: bytes, *, by: str, sent: Sent = JUST_SENT) -> Added:
    """Add typed lines: of each a kind and its words, parted and quoted as in a shell.

    Blank lines and those that begin with ``#`` say nothing.

    Raises:
        BadInput: the first fault, with its line; nothing is added.
        CouldNotSave: the disk refused; the case is as it was.
    """
    lines = text_of(data).split("\n")
    writer = Writer(by, sent.role)
    return save(path, lambda stored: _numbered(stored, _from_lines(lines, stored), writer), sent)


def _filed_entries(
    stored: StoredCase, file: Path, data: bytes, kind: str | None, writer: Writer
) -> tuple[Entry, ...]:
    filed = _from_csv(data, kind, stored) if file.suffix == ".csv" else _from_json(data, file)
    return _numbered(stored, filed, writer)


def _numbered(stored: StoredCase, filed: Sequence[Filed], writer: Writer) -> tuple[Entry, ...]:
    """Number the entries of a file on a case; a fault names its line."""
    if not filed:
        raise BadInput(
            "E-CSV-01",
            "There is no entry in what was given.",
            given="nothing that can be read as an entry",
            needed="at least one row, object or line",
            next_step="Choose another file, or type lines; nothing was added.",
            field="from",
        )
    lines: list[int] = []
    entries = list(stored.entries)
    for line, fields in filed:
        standing = StoredCase(stored.reference, tuple(entries), stored.digest)
        try:
            made = number_on(standing, [fields], writer)
        except Mistake as fault:
            raise at_line(line, fault) from None
        entries.extend(made)
        lines.extend(line for _ in made)
    first_refused(entries, line_of=lines.__getitem__, standing=stored.version)
    return tuple(entries[stored.version :])


def _from_lines(lines: Sequence[str], stored: StoredCase) -> list[Filed]:
    door = door_of(stored)
    filed: list[Filed] = []
    for number, line in enumerate(lines, 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            kind, *words = parted(line)
            made = typed_entries(kind, split_words(words), door)
        except Mistake as fault:
            raise at_line(number, fault) from None
        filed += [(number, fields) for fields in made]
        door = _knowing(door, made)
    return filed


def _from_csv(data: bytes, kind: str | None, stored: StoredCase) -> list[Filed]:
    table = read_table(data, needed=() if kind else ("kind",))
    door = door_of(stored, comma_declared=table.comma_declared)
    filed: list[Filed] = []
    for row in table.rows:
        try:
            row_kind, words = _words(row, kind)
            made = typed_entries(row_kind, words, door)
        except Mistake as fault:
            raise at_line(row.line, fault) from None
        filed += [(row.line, fields) for fields in made]
        door = _knowing(door, made)
    return filed


def _knowing(door: Door, made: Sequence[Fields]) -> Door:
    """Let later rows name the groups and systems that earlier rows describe."""
    groups = {str(f["group"]): str(f["name"]) for f in made if f["kind"] == "stock"}
    systems = tuple(str(f.get("system", "main")) for f in made if f["kind"] == "system")
    return replace(door, groups={**door.groups, **groups}, systems=door.systems + systems)


def _words(row: Row, kind: str | None) -> tuple[str, list[Typed]]:
    words: list[Typed] = []
    row_kind = kind or ""
    for column, cell in row.cells:
        united = re.fullmatch(r"(.*?) *\[(.*)\]", column)
        name, unit = united.groups() if united else (column, "")
        plain = name.replace("-", "_").lower()
        if plain == "kind":
            row_kind = cell
        else:
            words.append((plain, f"{cell} {unit}" if unit and cell.strip() else cell))
    if not row_kind:
        raise BadInput(
            "E-CSV-02",
            "This row does not say what kind of entry it is.",
            needed="a word in the column kind",
            next_step="Complete the row; nothing was added.",
            field="kind",
        )
    return row_kind, words


def _from_json(data: bytes, file: Path) -> list[Filed]:
    if file.suffix == ".jsonl":
        filed: list[Filed] = []
        for number, line in enumerate(data.split(b"\n"), 1):
            if line.strip():
                filed += _objects([_at(number, line)], number)
        return filed
    content = parse_json(data)
    return _objects(content if isinstance(content, list) else [content], None)


def _at(number: int, line: bytes) -> object:
    try:
        return parse_json(line)
    except Mistake as fault:
        raise at_line(number, fault) from None


def _objects(values: Sequence[object], line: int | None) -> list[Filed]:
    """Check that each is an object; ``line`` None counts the objects instead."""
    filed: list[Filed] = []
    for number, value in enumerate(values, 1):
        place = line or number
        if not isinstance(value, dict) or {"id", "recorded_at"} & value.keys():
            raise BadInput(
                "E-CASE-04",
                f"Entry {place} of the file is not an object, or carries its own number.",
                given=str(value),
                needed="an object with kind and fields, without id and recorded_at",
                next_step="Use case import for a whole case file; nothing was added.",
                field=f"line {place}",
            )
        filed.append((place, dict(value)))
    return filed
