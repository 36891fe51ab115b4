"""The forms of one answer: what a terminal prints and what is written on paper."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tankside.present.block_text import document_text
from tankside.present.blocks import Document, Words
from tankside.present.document_pdf import as_pdf
from tankside.records.case_store import read_case
from tankside.records.whole_file import write_whole
from tankside.report.case_words import made_words


def terminal_text(document: Document) -> str:
    """Write an answer for a terminal; what a page shows on demand is left out."""
    blocks = tuple(b for b in document.blocks if not (isinstance(b, Words) and b.folded))
    return document_text(replace(document, blocks=blocks))


def write_paper(document: Document, target: str | Path, foot: str = "") -> None:
    """Write an answer as a PDF.

    Args:
        document: the answer.
        target: the file; one that is there is replaced.
        foot: stands at the foot of every page (what it was made from).

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
        CouldNotSave: the disk refused.
    """
    write_whole(Path(target), as_pdf(document, foot))


def case_foot(path: str | Path) -> str:
    """Say from which state of a case file an answer was made.

    Raises:
        BadInput: the case cannot be read.
    """
    return made_words(read_case(path))
