"""Show one answer in its three forms: by the real command, on the real page, on real paper."""

from __future__ import annotations

import html
import io
import re
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from pypdf import PdfReader
from tests.served_pages import RENEWS, served
from typer.testing import CliRunner

from tankside.cli.main import app
from tankside.demo import script
from tankside.plan import Candidate, Comparison, Progress, Sizes, Trial, compare
from tankside.present.blocks import Block, Document, Rows, Runs, Words
from tankside.services import cases

PRESENT = "2026-03-18T18:30+00:00"
FILE = script.FILE
WAITS_S = 120


def type_case(path: Path) -> None:
    """Type the invented case of the demo up to its first counts."""
    opening = cases.Opening(
        "EXAMPLE: Kiln Lane", "H. Marlow", "fresh", script.ZONE, opened=script.OPENED
    )
    cases.new_case(path, opening, by="test")
    for entry in (*script.CALL_ENTRIES, *script.TANK_ENTRIES, *script.WATER_ENTRIES,
                  *script.EXAM_ENTRIES, *script.CLOSER_ENTRIES, *script.SCRAPE_ENTRIES,
                  *script.FIRST_COUNTS):  # fmt: skip
        cases.add_words(path, entry.kind, entry.words, by="test")


def command(*words: str) -> str:
    """Run a command; return what it prints."""
    result = CliRunner().invoke(app, list(words))
    assert result.exit_code == 0, result.output
    return result.stdout


def page(folder: Path, key: str) -> str:
    """Return the text of a page of the case, waiting while it renews itself."""
    client = served(folder)
    end = time.monotonic() + WAITS_S
    while True:
        answer = client.get(f"/case/{FILE}/{key}")
        assert answer.status_code == 200, answer.text
        if RENEWS not in answer.text:
            return as_read(answer.text)
        assert time.monotonic() < end
        time.sleep(0.1)


def as_read(source: str) -> str:
    """Return what a reader of a page reads."""
    return html.unescape(re.sub(r"<[^>]*>", " ", source))


def paper(path: Path) -> str:
    """Return the text of a PDF."""
    return "\n".join(
        sheet.extract_text() for sheet in PdfReader(io.BytesIO(path.read_bytes())).pages
    )


def squeezed(text: str) -> str:
    """Return a text without blanks, so that where a line is broken does not matter."""
    return re.sub(r"\s+", "", text)


def sentences(document: Document) -> Iterator[str]:
    """Give every sentence and every cell of an answer."""
    yield from (document.title, document.lead)
    for block in document.blocks:
        yield from _of(block)


def _of(block: Block) -> Iterator[str]:
    match block:
        case Words(title, lines, strong):
            yield from (title, *lines, strong)
        case Rows(title, table):
            yield from (title, *table.head, *(cell for row in table.rows for cell in row))
        case Runs(title, rows, note):
            yield from (title, note, *(part for name, _, words in rows for part in (name, words)))


def compared_with(small: Sizes) -> Callable[..., Comparison]:
    """Return what compares with few histories, whatever sizes are asked for."""

    def compared(
        trial: Trial,
        some: Sequence[Candidate],
        _: Sizes,
        progress: Progress | None = None,
        days: int | None = None,
    ) -> Comparison:
        return compare(trial, some, small, progress, days)

    return compared
