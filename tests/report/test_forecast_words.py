"""How a forecast is said: numbers, dates, flips, and what is too uncertain to say."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

import pytest

from tankside.lifecycle.results.first_passage import FirstPassage
from tankside.lifecycle.results.of_twenty import of_twenty
from tankside.lifecycle.results.outcome import Quantiles
from tankside.lifecycle.results.sweep import SweepPoint, flips
from tankside.report.forecast_days import band, number
from tankside.report.forecast_document import TOO_UNCERTAIN, first_passage_words
from tankside.report.forecast_sweeps import choice_words, length_words
from tankside.services.forecast_sweep import Swept


@pytest.mark.parametrize(
    ("value", "words"),
    [(0, "0"), (0.04, "0"), (0.26, "0.3"), (7.4, "7"), (99.4, "99"), (123, "120"),
     (8676, "8 700"), (1234567, "1 200 000")],
)  # fmt: skip
def test_numbers_have_two_figures_that_count(value: float, words: str) -> None:
    assert number(value) == words


def test_a_band_shows_the_half_and_the_18_of_20() -> None:
    assert band(Quantiles(3, 12, 20, 40, 160)) == "12-40 (3-160)"
    assert band(Quantiles(0, 0, 0, 0, 0)) == "0"
    assert band(None) == "no fish"


def first_passage(what: str, *days: float, happens: float = 1.0) -> FirstPassage:
    return FirstPassage(what, of_twenty(happens * 1000, 1000), Quantiles(*days))


@pytest.mark.parametrize(
    ("passage", "words"),
    [
        (first_passage("first_spot", 0, 0, 0, 0, 0), "from the start"),
        (first_passage("first_death", 4, 5, 6, 8, 12), "more than 19 of 20, day 4 to 12"),
        (first_passage("first_death", 4, 5, 6, 8, 13),
         f"more than 19 of 20, date {TOO_UNCERTAIN}"),
        (first_passage("clear", 8, 10, 12, inf, inf, happens=0.6),
         "12 of 20, from day 8, half by day 12"),
        (first_passage("clear", 8, 10, inf, inf, inf, happens=0.4), "8 of 20, from day 8"),
        (first_passage("clear", inf, inf, inf, inf, inf, happens=0.0), "fewer than 1 of 20"),
    ],
)  # fmt: skip
def test_a_date_is_said_as_far_as_it_is_known(passage: FirstPassage, words: str) -> None:
    assert first_passage_words(passage) == words


def swept(differences: Sequence[float], last_doses: Sequence[float], treated: float = 15) -> Swept:
    shares = (of_twenty(500, 1000), of_twenty(400, 1000))
    rows = zip((1.0, 2.0, 4.0), differences, last_doses, strict=True)
    points = tuple(SweepPoint(v, shares, d, 0.01, day, day) for v, d, day in rows)
    values = [point.value for point in points]
    return Swept(
        "k",
        points,
        ("salt", "water only"),
        flips(values, [p.difference for p in points], [0.01] * 3),
        flips(values, [treated - p.last_dose for p in points], [0.5] * 3),
        treated,
    )


def test_a_choice_that_turns_over_is_said_with_its_place() -> None:
    words = choice_words(swept((0.3, 0.1, -0.1), (9, 9, 9)))
    assert words == (
        "The choice turns over near 3 (between 2 and 4): above it course 2 clears more."
    )


def test_a_turn_within_chance_says_so() -> None:
    assert choice_words(swept((0.3, 0.1, -0.01), (9, 9, 9))).endswith("(within chance).")


def test_a_choice_that_stays_says_by_how_much_at_least() -> None:
    words = choice_words(swept((0.3, 0.1, 0.2), (9, 9, 9)))
    assert words == "The choice stays: course 1 clears more at every value, by 2 of 20 or more."
    words = choice_words(swept((-0.3, -0.1, -0.2), (9, 9, 9)))
    assert words.startswith("The choice stays: course 2")


def test_equal_courses_are_called_equal() -> None:
    assert "equally well" in choice_words(swept((0.01, 0.0, 0.02), (9, 9, 9)))


def test_a_length_that_becomes_too_short_is_said_with_its_place() -> None:
    assert length_words(swept((0.3,) * 3, (11, 13, 17))) == (
        "Near 3 (between 2 and 4) the course, at full strength to day 15, becomes too short."
    )
    assert "long enough at every value" in length_words(swept((0.3,) * 3, (9, 9, 9)))
    assert "too short at every value" in length_words(swept((0.3,) * 3, (16, 17, inf)))
    assert length_words(swept((0.3,) * 3, (9, 9, 9), treated=0)) == ""
