"""Counts of what: only a number of the parasite that is asked about moves what is believed of it.

Invented: the Weir, twelve platies. As typed: from ``case add ... count`` to what plan and follow-up
start from, and to the answer of ``follow``.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from tankside import library
from tankside.intake.follow_setup import FollowRequest, FollowSetup, follow_setup
from tankside.intake.plan_setup import PlanRequest, ready
from tankside.lifecycle import InitialState
from tankside.records.case_file import read_case
from tankside.services.differential_case import evidence_of

Run = Callable[..., Any]
Typing = Callable[[str, list[list[str]], list[list[str]]], Path]

OPENING = ["--name", "Weir", "--keeper", "Nora Lind", "--water", "fresh",
           "--opened", "2026-05-04", "--zone", "Etc/UTC"]  # fmt: skip
TANK = [
    ["system", "inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm"],
    ["stock", "platy", "name=platy", "host=xiphophorus_maculatus", "count=12", "length=4 cm"],
    ["water", "on=2026-05-04", "temperature=24 C", "ph=7.5"],
]
ICH, FLUKES = "ichthyophthirius_multifiliis", "gyrodactylus_salaris"
NUMBER = count()


@pytest.fixture
def tank(typed: Typing) -> Callable[..., Path]:
    """Return what types a case with counts, each at 10:00 of a day of May 2026."""

    def type_case(*counts: tuple[str, ...]) -> Path:
        rows = [["count", f"on=2026-05-{day}T10:00", *words] for day, *words in counts]
        return typed(f"weir{next(NUMBER)}", [OPENING], [*TANK, *rows])

    return type_case


def believed(file: Path, organism: str) -> InitialState:
    """What a plan begins with."""
    wish = PlanRequest(organism=organism)
    return ready(read_case(file).view(), library.load(), wish).trial.start


def followed(file: Path, organism: str) -> FollowSetup:
    return follow_setup(read_case(file).view(), FollowRequest(organism=organism))


@pytest.mark.parametrize(
    ("organism", "beside"),
    [
        (ICH, ("05", "gasping=1")),
        (ICH, ("05", "flashing=6 of 12")),
        (ICH, ("05", "gill-flukes=9", "method=gill-clip")),
        (ICH, ("05", "lice=2")),
        (FLUKES, ("05", "flagellates=3", "method=skin-scrape")),
        (FLUKES, ("05", "spots=40")),
        (FLUKES, ("05", "m_flat_heart=6", "method=skin-scrape")),
    ],
)
def test_a_count_of_something_else_moves_neither_plan_nor_follow_up(
    tank: Callable[..., Path], organism: str, beside: tuple[str, ...]
) -> None:
    alone, with_it = tank(), tank(beside)
    assert believed(with_it, organism) == believed(alone, organism)
    assert followed(with_it, organism).seen == ()
    assert followed(with_it, organism).starts == followed(alone, organism).starts


@pytest.mark.parametrize(
    ("organism", "of_it"),
    [
        (ICH, ("05", "spots=61")),
        (ICH, ("05", "spots=12 of 12")),
        (ICH, ("05", "trophonts=mean 4", "method=skin-scrape")),
        (ICH, ("05", "m_big_ciliate=5", "method=gill-clip")),
        (FLUKES, ("05", "flukes=7", "method=skin-scrape")),
        (FLUKES, ("05", "gyrodactylus=7", "method=skin-scrape")),
        (FLUKES, ("05", "skin-flukes=2 of 3", "method=fin-clip")),
    ],
)
def test_a_count_of_the_parasite_moves_both(
    tank: Callable[..., Path], organism: str, of_it: tuple[str, ...]
) -> None:
    alone, with_it = tank(), tank(of_it)
    assert believed(with_it, organism) != believed(alone, organism)
    assert len(followed(with_it, organism).seen) == 1


def test_a_sign_that_was_counted_is_read_by_the_ranking(tank: Callable[..., Path]) -> None:
    seen = evidence_of(read_case(tank(("05", "gasping=3 of 12"))).view()).answers
    assert seen["breathing"] == {"gasping_surface"}
    spots = evidence_of(read_case(tank(("05", "spots=12 of 12"))).view()).answers
    assert spots["spots_visible"] == {"yes"}
    assert "spot_count" not in spots
    mean = evidence_of(read_case(tank(("05", "spots=mean 7"))).view()).answers
    assert mean["spot_count"] == {"6_to_30", "over_30"}


@pytest.mark.parametrize(("what", "near"), [("heart", "heart-shaped"), ("spotz", "spots"),
                                            ("qqq", "one of")])  # fmt: skip
def test_a_word_that_nothing_is_called_by_is_refused_with_near_ones(
    run: Run, tank: Callable[..., Path], what: str, near: str
) -> None:
    file = tank()
    before = file.read_bytes()
    refused = run("case", "add", str(file), "count", f"{what}=6", "on=2026-05-05", "--json").error
    assert (refused["code"], refused["field"], refused["given"]) == ("E-WORD-02", "what", what)
    assert near in refused["needed"]
    assert file.read_bytes() == before


def test_a_count_that_is_not_of_what_is_suspected_says_so_at_once(
    run: Run, tank: Callable[..., Path]
) -> None:
    file = tank()
    run("case", "add", str(file), "suspected", "condition=ICH", "shown-by=spots", "on=2026-05-04")
    shown = run("case", "add", str(file), "count", "gill-flukes=3", "on=2026-05-05").out
    assert "gill_flukes: not a count of white spot (fresh water)" in " ".join(shown.split())
    assert "NOTE" not in run("case", "add", str(file), "count", "spots=3", "on=2026-05-05").out


def test_twelve_of_twelve_spotted_fish_are_a_count_and_nothing_is_clear(
    run: Run, tank: Callable[..., Path]
) -> None:
    file = tank(("05", "spots=12 of 12"))
    shown = run("follow", str(file), "--organism", ICH, "--json").answer
    assert shown["advice"] == "go on"
    assert shown["last_seen_day"] == 1
    assert shown["clear_now"]["share"] < 0.05
    assert [row["what"] for row in shown["foretold"]] == ["spots, fish carrying any, platy"]


def test_gasping_fish_are_no_count_in_a_follow_up(run: Run, tank: Callable[..., Path]) -> None:
    shown = run("follow", str(tank(("05", "gasping=0"))), "--organism", ICH, "--json").answer
    assert shown["advice"] == "count first"
    assert shown["zero_of_n"] in (None, "")


def test_a_slide_that_shows_the_parasite_dates_the_wait_and_is_a_count(
    run: Run, tank: Callable[..., Path]
) -> None:
    file = tank(("05", "spots=0"))
    words = ("wet-mount", "gill-clip", "on=2026-05-08T10:00", "group=platy")
    assert run("case", "add", str(file), *words, "m_big_ciliate=2 of 3").code == 0
    setup = followed(file, ICH)
    assert [(s.how, s.kind, s.counts, s.fish_seen) for s in setup.seen] == [
        ("spots", "each", (0.0,), 1), ("scrape", "carrying", (2.0,), 3),
    ]  # fmt: skip
    assert run("follow", str(file), "--organism", ICH, "--json").answer["last_seen_day"] == 4
