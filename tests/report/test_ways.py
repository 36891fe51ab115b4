"""A page says what the command line says, without the command, and leads to the page for it."""

from __future__ import annotations

import pytest

from tankside.report.ways import Way, way_in, ways_in, without_commands

SAID = (
    (
        "Answer it: tankside case add CASE done step=A0-3 system=main (or not-done step=A0-3).",
        "Answer it.",
        "day",
    ),
    (
        "Ask the water supplier, then: tankside case add CASE system main tap=...",
        "Ask the water supplier.",
        "enter/system#w.tap",
    ),
    (
        'Add it: tankside case add CASE water temperature="25.5 C"',
        "Add it.",
        "enter/water#w.temperature",
    ),
    (
        "Compare courses and choose one: tankside plan CASE --choose K",
        "Compare courses and choose one.",
        "plans",
    ),
)


@pytest.mark.parametrize(("said", "left", "page"), SAID)
def test_a_command_becomes_the_page_that_does_the_same(said: str, left: str, page: str) -> None:
    assert without_commands(said) == left
    way = way_in(said)
    assert way is not None
    assert way.page == page


def test_what_only_a_terminal_can_do_is_left_out() -> None:
    assert without_commands("See `tankside knowledge show findings`.") == ""
    assert way_in("See `tankside knowledge show findings`.") is None
    assert without_commands("It stands. Give --oxygen for its own figure.") == "It stands."
    asked = (
        "In which country does it stand? Without it no law is looked up (correct 1 with --country)."
    )
    assert without_commands(asked) == asked.partition(" (")[0] + "."


def test_plain_sentences_stay_as_they_are() -> None:
    for said in ("Count the spots on the worst fish.", "Salt, 2 g/L: see the label -- twice."):
        assert without_commands(said) == said
        assert ways_in((said,)) == ()


def test_one_way_is_offered_once() -> None:
    line = "Say it: tankside case add CASE stock platy system=..."
    assert ways_in((line, line)) == (Way("Enter: who lives in it", "enter/stock#w.system"),)


@pytest.mark.parametrize(
    ("said", "left"),
    [
        ("wrasse stands in for them. Name another with host=.", "wrasse stands in for them."),
        ("Not on file. Perhaps guppy: name it with host=.", "Not on file. Perhaps guppy."),
        ("How cold was it (lowest= and highest=)? One reading says nothing.",
         "How cold was it? One reading says nothing."),
        ("Look first (a clipped gill tip); then say gill-damage=no or =yes.",
         "Look first (a clipped gill tip)."),
        ("Label, veterinarian first; rest: --why.", "Label, veterinarian first."),
        ("27.6 mg = 0.23 mg/L x 120 L (n=5).", "27.6 mg = 0.23 mg/L x 120 L (n=5)."),
    ],
)  # fmt: skip
def test_a_property_as_it_is_typed_is_left_out_of_a_page(said: str, left: str) -> None:
    assert without_commands(said) == left
