"""The number of an entry or a place, as it stands in an address or a hidden field."""

from __future__ import annotations

MOST_DIGITS = 9
"""More than any case has entries; a longer one is no number of an entry."""


def address_number(typed: str) -> int | None:
    """Return a number written in plain digits; None for anything else.

    Digits of other scripts and raised digits are none: they would be read as numbers by some parts
    of the program and not by others.
    """
    plain = typed.isascii() and typed.isdigit() and len(typed) <= MOST_DIGITS
    return int(typed) if plain else None
