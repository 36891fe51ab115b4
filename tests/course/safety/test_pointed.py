"""A caution that points to what is no part of the course ends the course as a fault."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tankside.claims import Knowledge
from tankside.course import Caution, Course, Level, StockGroup, System, run, safety
from tankside.course.actions import Dose
from tankside.course.safety.pointed import PointsNowhere

DAYS = 2
COURSE = Course("salt", DAYS, (Dose(0, "main", "sodium_chloride", 1000.0),))
FISH = StockGroup("tetra", None, "tetra", 3, None, None, "main")
SOUND = Caution(
    Level.CARE, "S-FILTER", "The filter is at risk.", "Print says so.",
    "agent.sodium_chloride.effect.filter", "Test the water every day.",
    hour=24 * DAYS, body="main", group="tetra", agent="sodium_chloride",
)  # fmt: skip


def planted(monkeypatch: pytest.MonkeyPatch, caution: Caution) -> None:
    monkeypatch.setattr(safety, "CHECKS", (*safety.CHECKS, lambda scene: [caution]))


def test_a_caution_that_points_to_what_is_there_is_told(
    elm_road: System, facts: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    planted(monkeypatch, SOUND)
    assert SOUND in run([elm_road], [FISH], COURSE, facts).safety


@pytest.mark.parametrize(
    ("what", "wrong"),
    [
        ("body", {"body": "pond"}),
        ("group", {"group": "loach"}),
        ("hour", {"hour": 24 * DAYS + 1}),
        ("hour", {"hour": -1}),
        ("claim", {"claim_key": "agent.formalin.effect.filter"}),
    ],
)
def test_a_caution_that_points_nowhere_is_a_fault(
    elm_road: System,
    facts: Knowledge,
    monkeypatch: pytest.MonkeyPatch,
    what: str,
    wrong: dict[str, Any],
) -> None:
    planted(monkeypatch, replace(SOUND, **wrong))
    with pytest.raises(PointsNowhere, match=f"S-FILTER points to a {what}"):
        run([elm_road], [FISH], COURSE, facts)


def test_a_claim_about_two_agents_names_the_one_it_warns_of(
    elm_road: System, facts: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    both = replace(SOUND, claim_key="agent.formalin.incompatible.sodium_chloride")
    planted(monkeypatch, both)
    assert both in run([elm_road], [FISH], COURSE, facts).safety


def test_without_animals_no_hour_is_known_and_none_is_refused(
    elm_road: System, facts: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    planted(monkeypatch, replace(SOUND, group=""))
    assert run([elm_road], [], COURSE, facts).safety
