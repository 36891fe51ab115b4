"""The scale of words for chances that the project shows (word, then its frequency)."""

from __future__ import annotations

import pytest

from tankside.diagnose import in_words


@pytest.mark.parametrize(
    ("chance", "word"),
    [
        (0.999, "almost certain"), (0.951, "almost certain"), (0.95, "very likely"),
        (0.9, "likely"), (0.67, "likely"), (0.5, "about even"), (0.33, "unlikely"),
        (0.1, "very unlikely"), (0.05, "remote"), (0.0, "remote"),
    ],
)  # fmt: skip
def test_each_chance_has_its_word(chance: float, word: str) -> None:
    assert in_words(chance, calibrated=False) == word


def test_the_frequency_stands_beside_the_word_only_when_calibrated() -> None:
    assert in_words(0.7, calibrated=True) == "likely, more than 2 in 3"
    assert not any(c.isdigit() for c in in_words(0.7, calibrated=False))


@pytest.mark.parametrize("chance", [0.0, 1.0])
def test_nothing_is_certain_or_impossible(chance: float) -> None:
    assert in_words(chance, calibrated=True).split(", ")[1] in (
        "more than 19 in 20",
        "fewer than 1 in 20",
    )
