"""Any answer on paper: the same pieces that a terminal prints and a page shows."""

from __future__ import annotations

from tankside.present.amounts import tie_units
from tankside.present.blocks import Block, Document, Drawing, Rows, Runs, Words
from tankside.present.table import Table
from tankside.present.typesetting import set_page


def as_pdf(document: Document, foot: str = "", paper: str = "a4") -> bytes:
    """Return a document as a PDF with real text.

    Args:
        document: the answer.
        foot: stands at the foot of every page (what it was made from, until when it is valid).
        paper: "a4", "a5" or "us-letter".

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
    """
    data = {
        "title": document.title,
        "lead": tie_units(document.lead),
        "foot": foot,
        "blocks": [_block(block) for block in document.blocks],
    }
    return set_page("document.typ", "document", data, paper)


def _block(block: Block) -> dict[str, object]:
    """Return a piece as data; a figure is its sentence and the table behind it."""
    match block:
        case Words("", lines, strong) if strong:
            return _piece("", lines=[tie_units(f"{strong}: {line}") for line in lines])
        case Words(title, lines, strong):
            return _piece(title, strong=strong, lines=[tie_units(line) for line in lines])
        case Rows(title, table, note):
            return _piece(title, table=_table(table), note=tie_units(note))
        case Drawing(title, _, sentence, table):
            return _piece(title, lines=[tie_units(sentence)], table=_table(table))
        case Runs(title, rows, note):
            runs = [{"name": name, "marks": marks, "words": words} for name, marks, words in rows]
            return _piece(title, runs=runs, note=note)


def _piece(title: str, **parts: object) -> dict[str, object]:
    empty: dict[str, object] = {"strong": "", "lines": [], "table": None, "runs": [], "note": ""}
    return {"title": title, **empty, **parts}


def _table(table: Table) -> dict[str, object]:
    return {"head": list(table.head), "rows": [list(row) for row in table.rows]}
