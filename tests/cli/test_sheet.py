"""``tankside sheet``: every sheet is listed, read with all its words, and printed."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.scenarios.conftest import invoke
from tests.shaped import is_shaped

from tankside.report.teaching.shelf import contents, sheet_at

ADDRESSES = [address for sheets in contents().values() for address, _ in sheets]


def test_every_sheet_is_listed_by_the_word_that_is_typed() -> None:
    listed = invoke("sheet", "--json").answer["sheets"]
    assert [row["sheet"] for row in listed] == ADDRESSES
    text = invoke("sheet").out
    assert all(f"{address}: " in text for address in ADDRESSES)


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_word_of_a_sheet_is_told(address: str) -> None:
    ran = invoke("sheet", address, "--json")
    is_shaped(ran.answer, "sheet")
    sheet, text = sheet_at(address), "".join(invoke("sheet", address).out.split())
    words = [sheet.title, sheet.lead]
    for part in sheet.parts:
        words += [part.title, part.strong, *part.lines, part.note, *part.basis]
        for picture in part.pictures:
            words += [picture.title, picture.alternative, picture.sign, *picture.lines]
        if part.table is not None:
            words += [cell for row in (part.table.head, *part.table.rows) for cell in row]
    assert [word for word in words if "".join(word.split()) not in text] == []


def test_a_life_cycle_follows_the_temperature() -> None:
    cold, warm = (
        invoke("sheet", "life-cycle/cryptocaryon_irritans", "--temperature", c).out
        for c in ("20", "28")
    )
    assert cold != warm


def test_a_sheet_is_printed_on_the_paper_that_is_asked_for(tmp_path: Path) -> None:
    file = tmp_path / "s.pdf"
    ran = invoke("sheet", "mistakes", "--pdf", str(file), "--paper", "a5")
    assert (ran.code, ran.err.strip()) == (0, f"Written: {file}")
    assert file.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(("words", "code"), [
    (["none"], "E-LEARN-01"),
    (["mistakes", "--pdf", "x.pdf", "--paper", "a9"], "E-WORD-02"),
    (["life-cycle/cryptocaryon_irritans", "--temperature", "warm"], "E-NUM-04"),
])  # fmt: skip
def test_what_is_refused(words: list[str], code: str) -> None:
    assert invoke("sheet", *words, "--json").error["code"] == code
