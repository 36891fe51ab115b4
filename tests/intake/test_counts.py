"""Counts of a case as the life cycle and the follow-up take them: group, way, hour, number."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from tankside import library
from tankside.case import CaseView
from tankside.follow import DayLooked, GroupCount
from tankside.intake.clock import VARIABLE
from tankside.intake.counts import group_counts, looks, sightings
from tankside.intake.parasite_looks import ParasiteLooks
from tankside.lifecycle import Sighting
from tankside.quantity.moment import Moment
from tankside.records.case_file import read_case
from tankside.services import cases

ZERO = Moment("2026-05-04T00:00+00:00")


def group(name: str, count: int) -> Any:
    """Stand in for a group of hosts: its name and number alone."""
    return SimpleNamespace(id=name, count=count)


def ich(view: CaseView) -> ParasiteLooks:
    facts = library.load()
    return ParasiteLooks(view, facts, facts.organisms["ichthyophthirius_multifiliis"])


TETRA, LOACH = group("tetra", 12), group("bottom", 2)
GROUPS = (TETRA, LOACH)


@pytest.fixture
def view(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CaseView:
    monkeypatch.setenv(VARIABLE, "2026-05-20T12:00+00:00")
    file = tmp_path / "case.jsonl"
    opening = cases.Opening("Weir", "a keeper", "fresh", "Etc/UTC", "2026-05-04")
    cases.new_case(file, opening, by="t")
    rows = (
        ("stock", "tetra", "name=neon tetra", "count=12"),
        ("stock", "bottom", "name=clown loach", "count=2"),
        ("count", "on=2026-05-04T06:00", "fish=worst loach", "spots=44"),
        ("count", "on=2026-05-04T06:00", "group=tetra", "spots=mean 2.5"),
        ("count", "on=2026-05-05T06:00", "fish=some fish", "spots=7"),
        ("count", "on=2026-05-06T06:00", "group=tetra", "trophonts=0 of 5", "method=skin-scrape"),
        ("death", "2", "on=2026-05-06T08:00", "group=tetra"),
        ("death", "1", "on=2026-05-06T08:00"),
    )
    for kind, *words in rows:
        cases.add_words(file, kind, tuple(words), by="t")
    return read_case(file).view()


def test_each_count_becomes_what_was_seen_on_which_fish_and_when(view: CaseView) -> None:
    assert sightings(ich(view), GROUPS, ZERO) == (
        Sighting(6, "tetra", "spots", (2.5,), "mean", 12),
        Sighting(6, "bottom", "spots", (44.0,), "worst", 2),
        Sighting(54, "tetra", "scrape", (0.0,) * 5, "each", 5),
        Sighting(56, "tetra", "deaths", (3.0,), "each", 1, 32),
    )


def test_a_count_of_an_unnamed_fish_belongs_to_the_only_group(view: CaseView) -> None:
    hours = [s.hour for s in sightings(ich(view), (TETRA,), ZERO) if s.how == "spots"]
    assert hours == [6, 6, 30]


def test_every_day_looked_at_counts_whatever_fish_it_was(view: CaseView) -> None:
    assert looks(ich(view), ZERO) == (
        DayLooked(0, True), DayLooked(0, True), DayLooked(1, True), DayLooked(2, False),
    )  # fmt: skip


def test_counts_by_group_tell_eye_from_slide_and_end_with_a_moment(view: CaseView) -> None:
    by_eye = (GroupCount("tetra", 2.5, True), GroupCount("bottom", 44.0, True))
    assert group_counts(ich(view), GROUPS) == (*by_eye, GroupCount("tetra", 0.0, False, 2, 5))
    assert group_counts(ich(view), GROUPS, Moment("2026-05-05T00:00+00:00")) == by_eye
    assert group_counts(ich(view), GROUPS, Moment("2026-05-04T05:00+00:00")) == ()
