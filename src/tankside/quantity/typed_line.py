"""One typed line, parted into words as a shell does."""

from __future__ import annotations

import shlex

from tankside.errors import BadInput


def parted(line: str) -> list[str]:
    """Part a line into words; a value with blanks stands in quotes.

    Args:
        line: as typed.

    Raises:
        BadInput: E-CSV-02 a quotation mark is not closed.
    """
    try:
        return shlex.split(line)
    except ValueError:
        raise BadInput(
            "E-CSV-02",
            "A quotation mark of this line is not closed.",
            given=line.strip(),
            needed="quotes in pairs, around a value with blanks",
            next_step="Close it; nothing of the line was added.",
            field="line",
        ) from None
