"""The pieces of a page as lines for a terminal."""

from __future__ import annotations

from tankside.present.blocks import Block, Drawing, Rows, Runs, Words


def block_lines(block: Block) -> list[str]:
    """Write one piece; a figure is told by its sentence."""
    match block:
        case Words(title, lines, strong):
            head = f"{strong}: {title}" if strong else title
            return [head, *(f"  {line}" for line in lines)]
        case Rows(title, table):
            return [title, *(f"  {line}" for line in table.lines())]
        case Drawing(title, _, sentence, _):
            return [title, f"  {sentence}"]
        case Runs(title, rows, note):
            told = [f"  {name}: {words}" for name, _, words in rows]
            return [title, *told, *([f"  {note}"] if note else [])]
