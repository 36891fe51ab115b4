"""Counts of animals, parasites and slides: whole numbers that fit one another."""

from __future__ import annotations

import re

from tankside.errors import BadInput
from tankside.quantity.number import ASCII_BLANKS, parse_number

MOST = 10_000_000
"""No count in this trade is larger; beyond it a digit has slipped."""


def _refuse(message: str, value: object, needed: str, field: str) -> BadInput:
    return BadInput(
        "E-COUNT-01",
        message,
        given=value,
        needed=needed,
        next_step="Count again or correct the digits; nothing was saved.",
        field=field,
    )


def parse_count(text: object, *, field: str) -> int:
    """Read a whole number, 0 included, from text.

    Raises:
        BadInput: E-COUNT-01 for a fraction or a negative number, E-NUM-* otherwise.
    """
    body = text.strip(ASCII_BLANKS) if isinstance(text, str) else text
    if isinstance(body, str) and re.fullmatch(r"-[0-9]+(\.[0-9]+)?", body):
        raise _refuse("A count cannot be below 0.", text, "0, 1, 2 ...", field)
    number = parse_number(body, field=field)
    if number != number.to_integral_value() or "." in str(body):
        raise _refuse("A count is a whole number.", text, "0, 1, 2 ...", field)
    return whole_count(int(number), field=field)


def whole_count(value: object, *, field: str) -> int:
    """Check a count that comes as a number (a JSON door).

    Raises:
        BadInput: E-NUM-06 for text, true/false; E-COUNT-01 for a fraction, below 0, too many.
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadInput(
            "E-NUM-06",
            "A count must be a plain JSON number.",
            given=value,
            needed="a whole number without quotes, for example 5",
            next_step="Write the number without quotes; nothing was saved.",
            field=field,
        )
    if value < 0:
        raise _refuse("A count cannot be below 0.", value, "0, 1, 2 ...", field)
    if not isinstance(value, int):
        raise _refuse("A count is a whole number.", value, "0, 1, 2 ...", field)
    if not value <= MOST:
        raise _refuse("This count cannot be.", value, f"between 0 and {MOST}", field)
    return value


def check_share(part: int, whole: int, *, part_name: str, whole_name: str, field: str) -> None:
    """Refuse a part that is larger than its whole (infected and examined, deaths and stock).

    Raises:
        BadInput: E-COUNT-01.
    """
    if part > whole:
        raise _refuse(
            f"There are more {part_name} than {whole_name}.",
            f"{part} {part_name}, {whole} {whole_name}",
            f"at most {whole} {part_name}",
            field,
        )
