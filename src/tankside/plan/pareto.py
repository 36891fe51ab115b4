"""Which courses no other course beats in every respect that can be counted."""

from __future__ import annotations

from collections.abc import Sequence


def unbeaten(rows: Sequence[tuple[float, ...]]) -> tuple[bool, ...]:
    """Return for each row whether no other row is at least as good everywhere and better once.

    Args:
        rows: one tuple per course, every entry "lower is better", all of one length.
    """
    return tuple(
        not any(_beats(other, row) for place, other in enumerate(rows) if place != index)
        for index, row in enumerate(rows)
    )


def _beats(first: tuple[float, ...], second: tuple[float, ...]) -> bool:
    pairs = list(zip(first, second, strict=True))
    return all(a <= b for a, b in pairs) and any(a < b for a, b in pairs)
