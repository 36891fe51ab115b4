"""Each kind of piece can be read in a terminal."""

from __future__ import annotations

import pytest

from tankside.present.block_text import block_lines
from tankside.present.blocks import Drawing, Rows, Runs, Words
from tankside.present.table import Table

TABLE = Table("amounts", ("when", "what"), (("Mon", "80 g"), ("Tuesday", "5 g")))


def test_words_put_their_strong_word_first() -> None:
    assert block_lines(Words("Salt", ("a", "b"), "CARE")) == ["CARE: Salt", "  a", "  b"]


def test_rows_are_aligned() -> None:
    assert block_lines(Rows("Every amount", TABLE)) == [
        "Every amount",
        "  when     what",
        "  Mon      80 g",
        "  Tuesday  5 g",
    ]


def test_a_drawing_is_told_by_its_sentence() -> None:
    assert block_lines(Drawing("Fan", "<svg/>", "It falls.", TABLE)) == ["Fan", "  It falls."]


def test_runs_say_both_outcomes() -> None:
    block = Runs("Clear", (("salt", 17, "clear in 17 of 20, not clear in 3 of 20"),), "n")
    said = "salt: clear in 17 of 20, not clear in 3 of 20"
    assert block_lines(block)[1] == f"  #################... {said}"


@pytest.mark.parametrize("number", range(21))
def test_the_marks_of_a_share_are_20_signs_of_any_terminal(number: int) -> None:
    (_, row) = block_lines(Runs("Clear", (("salt", number, ""),), ""))
    marks = row.split()[0]
    assert (len(marks), marks.count("#")) == (20, number)
    assert marks.isascii()
