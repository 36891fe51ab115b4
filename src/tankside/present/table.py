"""A table of words: the same rows for a page, a terminal and beside every figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under a head, with a caption that says what they are."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def lines(self) -> list[str]:
        """Write the table for a terminal, columns aligned."""
        return columns((self.head, *self.rows))


def columns(rows: Sequence[Sequence[str]]) -> list[str]:
    """Align rows of text in columns two spaces apart."""
    if not rows:
        return []
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    return [
        "  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip() for row in rows
    ]
