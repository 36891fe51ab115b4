"""One document is read the same in a terminal, on a page and on paper."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from tankside.present.block_text import document_text
from tankside.present.blocks import Document, Drawing, Rows, Runs, Words
from tankside.present.document_pdf import as_pdf
from tankside.present.table import Table

HOSTILE = '#read("/etc/passwd") *b* $x$ <b>'
TABLE = Table("counts", ("day", "seen"), (("0", "nine"), ("4", "three")))
DOCUMENT = Document(
    "Follow-up: Quay Lane",
    (
        Words("", ("A plain paragraph.",)),
        Words("Advice", ("Go on.", HOSTILE), "ADVICE"),
        Rows("Every count", TABLE, "Counted by one person.", folded=True),
        Drawing("Fan", "<svg/>", "It falls.", TABLE),
        Runs("Chances", (("salt", 17, "clear in 17 of 20, not in 3"),), "note of the runs"),
    ),
    "What leads it.",
)
SAID = (
    "Follow-up: Quay Lane", "What leads it.", "A plain paragraph.", "ADVICE: Advice", "Go on.",
    HOSTILE, "Every count", "three", "Counted by one person.", "It falls.",
    "clear in 17 of 20, not in 3", "note of the runs",
)  # fmt: skip


@pytest.fixture(scope="module")
def paper() -> str:
    pages = PdfReader(io.BytesIO(as_pdf(DOCUMENT, foot="Made from entry 9."))).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


@pytest.mark.parametrize("words", SAID)
def test_every_word_is_on_terminal_and_paper(words: str, paper: str) -> None:
    assert words in document_text(DOCUMENT)
    assert words in paper


def test_a_piece_without_a_title_is_plain_lines() -> None:
    assert document_text(DOCUMENT).split("\n\n")[2] == "A plain paragraph."


def test_the_foot_is_on_paper_only(paper: str) -> None:
    assert "Made from entry 9." in paper
    assert "Made from entry 9." not in document_text(DOCUMENT)
