"""Every property of a tank that is typed is shown: on the page of the tank and in the history."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from tests.cli.conftest import Ran

from tankside.case.entry_kind import typed_words
from tankside.case.system import Property, SystemDescribed
from tankside.present.block_text import document_text
from tankside.present.blocks import Words
from tankside.report.case_show import case_document
from tankside.report.page import open_case
from tankside.report.tank import tank_document

CASE = Path("elm.jsonl")


def test_a_property_that_is_typed_is_on_the_page_and_in_the_history(
    elm: Callable[..., Ran],
) -> None:
    words = [w for w in typed_words(SystemDescribed) if isinstance(w.declared, Property)]
    values = {w.typed: w.declared.example or (*w.read.choices, "some text")[0] for w in words}
    ran = elm(
        "case", "add", "elm.jsonl", "system", *(f"{key}={text}" for key, text in values.items())
    )
    assert ran.code == 0, ran.err
    page = [b for b in tank_document(open_case(CASE)).blocks if isinstance(b, Words)]
    (lines,) = [block.lines for block in page if block.title == "How the tank is run"]
    history = document_text(case_document(open_case(CASE), history=True))
    assert len(lines) == len(words) > 20
    for word, line in zip(words, lines, strict=True):
        assert line.startswith(f"{word.label}: ")
        assert f"{word.label} " in history
    assert any(line.endswith("C (the dial; read the thermometer)") for line in lines)


def test_what_was_not_told_of_a_tank_is_not_shown(elm: Callable[..., Ran]) -> None:
    assert elm("case", "add", "elm.jsonl", "system", "uv=?").code == 0
    page = [b for b in tank_document(open_case(CASE)).blocks if isinstance(b, Words)]
    run = [block.lines for block in page if block.title == "How the tank is run"]
    assert run == [("uv: keeper does not know",)]
