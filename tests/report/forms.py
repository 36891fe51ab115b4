"""An answer in its three forms: what a command prints, what a page shows, what paper carries."""

from __future__ import annotations

import io
import re
import time
from collections.abc import Iterator
from html import unescape
from pathlib import Path

from pypdf import PdfReader
from tests.served_pages import RENEWS, served
from typer.testing import CliRunner

from tankside.cli.main import app
from tankside.present.blocks import Document, Drawing, Rows, Runs, Words
from tankside.report.ways import without_commands

PATIENCE_S = 120
FOOT = re.compile(r"Madefromcaseentry\d+\.|Page\d+of\d+")


def bare(text: str) -> str:
    """Return text without any blank, so that wrapping does not matter."""
    return "".join(text.split()).replace("\N{ZERO WIDTH SPACE}", "")


def terminal(*words: str) -> str:
    """Return what a command prints."""
    ran = CliRunner().invoke(app, list(words))
    assert ran.exit_code == 0, (ran.stdout, ran.stderr)
    return bare(ran.stdout)


def page(case: Path, name: str) -> str:
    """Return the text of a page of a case, when it is worked out."""
    client = served(case.parent)
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        answer = client.get(f"/case/{case.name}/{name}")
        assert answer.status_code == 200, answer.text
        if RENEWS not in answer.text:
            return bare(unescape(re.sub(r"<[^>]*>", " ", answer.text)))
        time.sleep(0.05)
    raise AssertionError("the page was not worked out in time")


def paper(file: Path) -> str:
    """Return the text of a PDF without what stands at the foot of its pages."""
    pages = PdfReader(io.BytesIO(file.read_bytes())).pages
    return "".join(FOOT.sub("", bare(part.extract_text())) for part in pages)


def sentences(document: Document, form: str = "terminal") -> Iterator[str]:
    """Return every piece of text of a document as a form says it, without blanks.

    A page says each without the commands that only a terminal understands.
    """
    texts = [document.title, document.lead]
    for block in document.blocks:
        texts.append(block.title)
        match block:
            case Words(_, lines, strong):
                texts += [strong, *lines]
            case Rows(_, table, note):
                texts += [note, *(cell for row in (table.head, *table.rows) for cell in row)]
            case Runs(_, rows, note):
                texts += [note, *(part for name, _, words in rows for part in (name, words))]
            case Drawing():
                texts.append(block.sentence)
    said = map(without_commands, texts) if form == "page" else texts
    yield from (bare(text) for text in said if text)
