"""The case file as bytes: a header line, then one entry a line, in one canonical spelling."""

from __future__ import annotations

import json
from collections.abc import Sequence

from pydantic import ValidationError

from tankside.case.catalogue import CATALOGUE, Catalogue
from tankside.case.entry import Entry
from tankside.errors import BadInput, Mistake
from tankside.quantity.strict_json import parse_json

FORMAT = "tankside-case"
VERSION = 1
_HEADER: dict[str, object] = {"format": FORMAT, "version": VERSION}
_JSON = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
"""Made once: a long case has thousands of lines."""
_WRONG_TYPE = {
    "int_type",
    "int_from_float",
    "string_type",
    "bool_type",
    "float_type",
    "int_parsing",
}


def to_object(entry: Entry) -> dict[str, object]:
    """Return an entry as plain JSON data; fields that were not asked are absent."""
    return _asked(entry.model_dump(mode="json"))


def _asked(fields: dict[str, object]) -> dict[str, object]:
    """Leave out what was not asked, but keep a schedule exactly as its maker wrote it."""
    return {
        key: value if key == "course" else _deeper(value)
        for key, value in fields.items()
        if value is not None and value != [] and (key, value) != ("day_only", False)
    }


def _deeper(value: object) -> object:
    if isinstance(value, dict):
        return _asked(value)
    return [_deeper(item) for item in value] if isinstance(value, list) else value


def _line(value: object) -> bytes:
    return _JSON.encode(value).encode("utf-8") + b"\n"


def encode(entries: Sequence[Entry]) -> bytes:
    """Write entries as JSON Lines: sorted keys, no blanks, UTF-8, one newline a line.

    The same entries always give the same bytes.
    """
    return _line(_HEADER) + b"".join(_line(to_object(entry)) for entry in entries)


def entry_from(value: object, catalogue: Catalogue = CATALOGUE) -> Entry:
    """Check one entry that came as JSON data.

    Args:
        value: the data.
        catalogue: the kinds of entry that there are.

    Raises:
        BadInput: the code of the rule it breaks; E-CASE-04 when it is not an entry.
    """
    if not isinstance(value, dict) or value.get("kind") not in catalogue.by_name:
        kind_read = value.get("kind") if isinstance(value, dict) else value
        raise BadInput(
            "E-CASE-04",
            "This is not an entry of a case.",
            given=kind_read,
            needed="an object whose kind is one of: " + ", ".join(catalogue.by_name),
            next_step="Correct the kind; nothing was saved.",
            field="kind",
        )
    try:
        return catalogue.adapter.validate_python(value)
    except ValidationError as wrong:
        raise _explained(wrong, catalogue) from None


def _explained(wrong: ValidationError, catalogue: Catalogue) -> BadInput:
    """Turn the first fault a model found into a message with a stable code."""
    first = wrong.errors(include_url=False, include_context=False)[0]
    place = ".".join(str(part) for part in first["loc"] if part not in catalogue.by_name)
    kind = first["type"]
    code = "E-NUM-06" if kind in _WRONG_TYPE else "E-CASE-04"
    return BadInput(
        code,
        "This field of the entry is missing, misspelt or of the wrong type.",
        given="" if kind == "missing" else first["input"],
        needed=first["msg"],
        next_step="See docs/schema/case.v1.json for the fields; nothing was saved.",
        field=place,
    )


def at_line(number: int, fault: Mistake) -> Mistake:
    """Return the same fault, saying in which line of a file it stands."""
    where = f"line {number}" + (f", {fault.field}" if fault.field else "")
    return type(fault)(
        fault.code,
        f"Line {number}: {fault.message}",
        given=fault.given,
        needed=fault.needed,
        next_step=fault.next_step,
        field=where,
    )


def decode(data: bytes) -> tuple[Entry, ...]:
    """Read a case file whole; one broken line refuses all of it, with its number.

    Raises:
        BadInput: E-CASE-01 header or line broken, E-DB-01 written by a newer version, or the
            code of the rule an entry breaks; the field names the line.
    """
    lines = data.removeprefix(b"\xef\xbb\xbf").split(b"\n")
    if not data.endswith(b"\n"):
        raise at_line(len(lines), _cut_short(lines[-1]))
    lines.pop()
    entries: list[Entry] = []
    for number, line in enumerate(lines, 1):
        try:
            value = parse_json(line)
            if number == 1:
                _check_header(value)
            else:
                entries.append(_next_entry(value, number - 1))
        except Mistake as fault:
            raise at_line(number, fault) from None
    return tuple(entries)


def _next_entry(value: object, expected: int) -> Entry:
    entry = entry_from(value)
    if entry.id != expected:
        raise BadInput(
            "E-CASE-01",
            "The entries must be numbered 1, 2, 3 without gaps.",
            given=entry.id,
            needed=str(expected),
            next_step="Restore the missing lines; nothing was read.",
            field="id",
        )
    return entry


def _check_header(value: object) -> None:
    if not isinstance(value, dict) or value.get("format") != FORMAT:
        raise BadInput(
            "E-CASE-01",
            "This file is not a case file.",
            given=str(value),
            needed=json.dumps(_HEADER),
            next_step="Choose a file written by case export.",
        )
    if value != _HEADER:
        raise BadInput(
            "E-DB-01",
            "This case file has another version than this program reads.",
            given=str(value.get("version")),
            needed=f"version {VERSION}",
            next_step="Open it with the program that wrote it; nothing was changed.",
        )


def _cut_short(rest: bytes) -> BadInput:
    return BadInput(
        "E-CASE-01",
        "The file is empty or cut short: its last line has no end.",
        given=rest[:40].decode("utf-8", "replace") or "nothing",
        needed="every line ended",
        next_step="Use a complete copy; nothing was read.",
    )
