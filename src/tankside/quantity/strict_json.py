"""The JSON door: NaN, Infinity, double keys, deep nesting and stray bytes are refused."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import NoReturn

from tankside.errors import BadInput

DEEPEST = 24
LARGEST_BYTES = 10_000_000


def _refuse(code: str, message: str, value: object, needed: str) -> BadInput:
    return BadInput(
        code,
        message,
        given=value,
        needed=needed,
        next_step="Correct the file; nothing was saved.",
    )


def _no_constant(name: str) -> NoReturn:
    raise _refuse("E-NUM-06", "This number cannot be stored.", name, "a finite number")


def _finite(text: str) -> float:
    value = float(text)
    if value in (float("inf"), float("-inf")):
        raise _refuse("E-NUM-05", "This is not a finite number.", text, "a finite number")
    return value


def _once_only(pairs: Sequence[tuple[str, object]]) -> dict[str, object]:
    members: dict[str, object] = {}
    for key, value in pairs:
        if key in members:
            raise _refuse("E-DUP-01", "The same key stands twice.", key, "each key once")
        members[key] = value
    return members


def _depth(text: str) -> int:
    """Return how deep a text is nested; of one with few brackets, how many there are."""
    few = text.count("[") + text.count("{")
    if few <= DEEPEST:
        return few
    deepest = level = 0
    in_text = escaped = False
    for sign in text:
        if in_text:
            in_text = escaped or sign != '"'
            escaped = sign == "\\" and not escaped
        elif sign == '"':
            in_text = True
        elif sign in "[{":
            level += 1
            deepest = max(deepest, level)
        elif sign in "]}":
            level -= 1
    return deepest


_STRICT = json.JSONDecoder(
    parse_constant=_no_constant, parse_float=_finite, object_pairs_hook=_once_only
)
"""Made once: a long file has thousands of lines."""


def parse_json(data: bytes | str) -> object:
    """Read one JSON value strictly.

    Args:
        data: UTF-8 bytes or text, at most 10 MB, nested at most 24 deep.

    Raises:
        BadInput: E-JSON-01 broken or too deep, E-JSON-02 not UTF-8 or too large, E-NUM-05/06
            numbers that are not finite, E-DUP-01 a double key.
    """
    if len(data) > LARGEST_BYTES:
        raise _refuse("E-JSON-02", "This is too large.", f"{len(data)} bytes", "at most 10 MB")
    text = data if isinstance(data, str) else _decoded(data)
    if _depth(text) > DEEPEST:
        needed = f"at most {DEEPEST} levels"
        raise _refuse("E-JSON-01", "This is nested too deeply.", text, needed)
    try:
        value: object = _STRICT.decode(text)
    except ValueError as broken:
        raise _refuse("E-JSON-01", "This is not JSON.", str(broken), "one JSON value") from None
    return value


def _decoded(data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        raise _refuse("E-JSON-02", "This is not UTF-8 text.", data[:20], "UTF-8 text") from None
