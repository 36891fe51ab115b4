"""A table fits the width it is given: the widest columns are wrapped, no word is lost."""

from __future__ import annotations

import os
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.present.block_text import block_lines
from tankside.present.blocks import Rows
from tankside.present.table import Table, columns

ROWS = [("when", "what"), ("day 1", "siphon the whole bottom slowly, then refill")]
CELLS = st.text("abcdefghij ", max_size=60).map(lambda text: " ".join(text.split()))


def test_a_wide_cell_is_wrapped_under_itself() -> None:
    assert columns(ROWS, 30) == [
        "when   what",
        "day 1  siphon the whole bottom",
        "       slowly, then refill",
    ]
    assert columns(ROWS) == ["when   what", "day 1  siphon the whole bottom slowly, then refill"]


@given(st.lists(st.tuples(CELLS, CELLS, CELLS), min_size=1, max_size=5), st.integers(40, 100))
def test_no_line_is_wider_and_no_letter_is_lost(
    rows: list[tuple[str, str, str]], width: int
) -> None:
    lines = columns(rows, width)
    assert max(map(len, lines)) <= width
    letters = sorted("".join("".join(row) for row in rows).replace(" ", ""))
    assert sorted("".join(lines).replace(" ", "")) == letters


def test_it_fits_the_terminal_and_nothing_else(monkeypatch: pytest.MonkeyPatch) -> None:
    block = Rows("Steps", Table("steps", ROWS[0], (ROWS[1],)))
    monkeypatch.setattr("shutil.get_terminal_size", lambda *_, **__: os.terminal_size((34, 20)))
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    narrow = block_lines(block)
    assert len(narrow) == 4
    assert max(map(len, narrow)) <= 34
    monkeypatch.setattr(sys.stdout, "isatty", lambda: False, raising=False)
    assert len(block_lines(block)) == 3
