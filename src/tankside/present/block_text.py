"""A document, or one of its pieces, as lines for a terminal or a message."""

from __future__ import annotations

import shutil
import sys

from tankside.present.blocks import Block, Document, Drawing, Rows, Runs, Words

INDENT = "  "
OF = 20
"""Marks in a row of them."""


def terminal_width() -> int | None:
    """Return how many signs a line of the terminal has; None where no terminal is written to."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None


def document_text(document: Document) -> str:
    """Write a whole answer: its title, its lead, then its pieces with a blank line between."""
    pieces = [[document.title], *([[document.lead]] if document.lead else [])]
    pieces += [block_lines(block) for block in document.blocks]
    return "\n\n".join("\n".join(lines) for lines in pieces if lines)


def block_lines(block: Block) -> list[str]:
    """Write one piece; a figure is told by its sentence."""
    match block:
        case Words("", lines, ""):
            return list(lines)
        case Words("", lines, strong):
            return [f"{strong}: {line}" for line in lines]
        case Words(title, lines, strong):
            head = f"{strong}: {title}" if strong else title
            return [head, *(f"  {line}" for line in lines)]
        case Rows(title, table, note):
            width = terminal_width()
            rows = table.lines(width and width - len(INDENT))
            return [title, *(f"{INDENT}{line}" for line in rows), *_noted(note)]
        case Drawing(title, _, sentence, _):
            return [title, f"  {sentence}"]
        case Runs(title, rows, note):
            outcomes = [f"  {_marks(number)} {name}: {words}" for name, number, words in rows]
            return [title, *outcomes, *_noted(note)]


def _marks(number: int) -> str:
    """Draw the marks of a share in signs that any terminal and any message has."""
    return "#" * number + "." * (OF - number)


def _noted(note: str) -> list[str]:
    return [f"  {note}"] if note else []
