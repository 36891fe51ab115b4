"""The CSV door: a checked header, whole rows, line numbers; a decimal comma only if declared.

A file may begin with one line that declares how it is written::

    # decimal=comma separator=semicolon

Without it numbers have a point and cells are parted by commas. A column may carry the unit of
its cells: ``temperature [C]``.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from tankside.errors import BadInput

LARGEST_BYTES = 10_000_000
MOST_ROWS = 100_000
_BOM = b"\xef\xbb\xbf"
_DECLARED = {"decimal": {"point": ".", "comma": ","}, "separator": {"comma": ",", "semicolon": ";"}}


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its line in the file and its cells by column; empty cells are left out."""

    line: int
    cells: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class CsvTable:
    """A whole CSV file; nothing of it is used unless all of it could be read."""

    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    comma_declared: bool


def _refuse(code: str, message: str, text: object, needed: str, field: str = "file") -> BadInput:
    return BadInput(
        code,
        message,
        given=text,
        needed=needed,
        next_step="Correct the file; nothing of it was saved.",
        field=field,
    )


def read_table(data: bytes, *, needed: Sequence[str] = (), allowed: Sequence[str] = ()) -> CsvTable:
    """Read a CSV file whole.

    Args:
        data: the bytes of the file: UTF-8, with or without byte order mark, LF or CRLF.
        needed: columns that must be there.
        allowed: columns that may be there besides; empty allows any.

    Raises:
        BadInput: E-CSV-01 header, E-CSV-02 a row of another length, E-CSV-03 encoding or size.
    """
    lines = text_of(data).splitlines(keepends=True)
    decimal, separator, skipped = _declaration(lines)
    reader = csv.reader(lines[skipped:], delimiter=separator, strict=True)
    rows: list[Row] = []
    columns: tuple[str, ...] = ()
    try:
        for cells in reader:
            line = reader.line_num + skipped
            if not columns:
                columns = _header(cells, needed, allowed)
            elif any(cell.strip() for cell in cells):
                rows.append(_row(line, cells, columns))
    except csv.Error as broken:
        line = reader.line_num + skipped
        message = f"Line {line} cannot be read as CSV."
        raise _refuse("E-CSV-02", message, str(broken), "closed quotes", f"line {line}") from None
    if not columns:
        raise _refuse("E-CSV-01", "There is no header line.", "nothing", "a header line, then rows")
    if len(rows) > MOST_ROWS:
        raise _refuse("E-CSV-03", "There are too many rows.", len(rows), f"at most {MOST_ROWS}")
    return CsvTable(columns, tuple(rows), decimal == ",")


def text_of(data: bytes) -> str:
    """Return a file as text.

    Raises:
        BadInput: E-CSV-03 it is too large, or not UTF-8.
    """
    if len(data) > LARGEST_BYTES:
        raise _refuse("E-CSV-03", "This file is too large.", f"{len(data)} bytes", "at most 10 MB")
    if b"\0" in data:
        raise _refuse(
            "E-CSV-03", "This is not plain UTF-8 text.", data[:20], "a file saved as UTF-8"
        )
    try:
        return data.removeprefix(_BOM).decode("utf-8")
    except UnicodeDecodeError as broken:
        around = data[max(0, broken.start - 5) : broken.start + 5]
        message = "Part of this file is not UTF-8 text."
        raise _refuse("E-CSV-03", message, around, "a file saved as UTF-8") from None


def _declaration(lines: Sequence[str]) -> tuple[str, str, int]:
    if not lines or not lines[0].startswith("#"):
        return ".", ",", 0
    declared = {"decimal": ".", "separator": ","}
    for word in lines[0].lstrip("#").split():
        name, _, value = word.partition("=")
        if value not in _DECLARED.get(name, {}):
            needed = "# decimal=point|comma separator=comma|semicolon"
            raise _refuse(
                "E-CSV-01", "This line declares something unknown.", word, needed, "line 1"
            )
        declared[name] = _DECLARED[name][value]
    if declared["decimal"] == declared["separator"]:
        needed = "separator=semicolon when decimal=comma"
        message = "The comma cannot separate cells and mark decimals at once."
        raise _refuse("E-CSV-01", message, lines[0].strip(), needed, "line 1")
    return declared["decimal"], declared["separator"], 1


def _header(cells: Sequence[str], needed: Sequence[str], allowed: Sequence[str]) -> tuple[str, ...]:
    columns = tuple(cell.strip() for cell in cells)
    bare = [re.sub(r" *\[.*\]$", "", column) for column in columns]
    double = {name for name in bare if bare.count(name) > 1}
    missing = [name for name in needed if name not in bare]
    unknown = [name for name in bare if allowed and name not in (*needed, *allowed)]
    rule = ", ".join((*needed, *allowed)) or "a name for each column"
    if double or not all(bare):
        message = "A column name is empty or stands twice."
        raise _refuse("E-CSV-01", message, ", ".join(columns), rule, "header")
    if missing or unknown:
        message = "The header lacks a column or has one that is not known."
        raise _refuse("E-CSV-01", message, ", ".join(missing or unknown), rule, "header")
    return columns


def _row(line: int, cells: Sequence[str], columns: Sequence[str]) -> Row:
    if len(cells) != len(columns):
        message = f"Line {line} has another number of cells than the header."
        needed = f"{len(columns)} cells"
        raise _refuse("E-CSV-02", message, f"{len(cells)} cells", needed, f"line {line}")
    filled = tuple((column, cell) for column, cell in zip(columns, cells, strict=True) if cell)
    return Row(line, filled)
