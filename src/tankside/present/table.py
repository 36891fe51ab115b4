"""A table of words: the same rows for a page, a terminal and beside every figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest
from textwrap import wrap

GAP = "  "
NARROWEST = 10
"""A column is not wrapped to fewer signs."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under a head, with a caption that says what they are."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def lines(self, width: int | None = None) -> list[str]:
        """Write the table for a terminal, columns aligned.

        Args:
            width: signs a line may have; None for as many as it takes.
        """
        return columns((self.head, *self.rows), width)


def columns(rows: Sequence[Sequence[str]], width: int | None = None) -> list[str]:
    """Align rows of text in columns two spaces apart.

    Args:
        rows: cells, each row as long as the others.
        width: signs a line may have; the widest columns are wrapped until the rows fit. None for
            as many as it takes.
    """
    if not rows:
        return []
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    while width is not None and sum(widths) + len(GAP) * (len(widths) - 1) > width:
        widest = max(range(len(widths)), key=lambda at: widths[at])
        if widths[widest] <= NARROWEST:
            break
        widths[widest] -= 1
    return [line for row in rows for line in _wrapped(row, widths)]


def _wrapped(row: Sequence[str], widths: Sequence[int]) -> list[str]:
    """Return the lines of one row, each cell wrapped within its column."""
    cells = [
        [cell] if len(cell) <= wide else wrap(cell, wide)
        for cell, wide in zip(row, widths, strict=True)
    ]
    return [
        GAP.join(part.ljust(wide) for part, wide in zip(parts, widths, strict=True)).rstrip()
        for parts in zip_longest(*cells, fillvalue="")
    ]
