"""What an empty slide is worth, by microscope, fields, slides and age."""

from __future__ import annotations

import pytest

from tankside.case import entry_from
from tankside.case.seen import WetMount
from tankside.claims.diagnosis import DiagnosisFacts
from tankside.intake.slide_worth import (
    as_good_as_none,
    effort,
    freshness,
    magnification,
    shows_too_little,
    whole_and_fresh,
)
from tankside.library.diagnosis_files import load_diagnosis

NONE_SEEN = {"finding": "m_tiny_flagellate", "state": "none"}


@pytest.fixture(scope="module")
def facts() -> DiagnosisFacts:
    return load_diagnosis()


def slide(**words: object) -> WetMount:
    stamp = {"id": 1, "recorded_at": "2026-05-04T10:00:00Z", "by": "t"}
    at = {"occurred_at": "2026-05-04T09:00+00:00"}
    mount = entry_from(
        {"kind": "wet_mount", "sample": "skin_scrape", "looks": [NONE_SEEN], **at, **words, **stamp}
    )
    assert isinstance(mount, WetMount)
    return mount


@pytest.mark.parametrize(
    ("objective", "times"),
    [("10x", 100), ("10", 100), ("x40", 400), ("Plan 4x/0.10", 40), ("400x", 400),
     ("2,5x", 25), ("small", None), (None, None)],
)  # fmt: skip
def test_an_objective_is_read_with_a_usual_eyepiece(
    facts: DiagnosisFacts, objective: str | None, times: float | None
) -> None:
    assert magnification(facts, objective) == times


def test_cells_of_ten_micrometres_need_two_hundred_times(facts: DiagnosisFacts) -> None:
    """About 10 um long, seen from 200 times on (common practice, no source)."""
    asked = facts.findings["m_tiny_flagellate"]
    assert shows_too_little(facts, asked, slide(objective="10x"))
    assert not shows_too_little(facts, asked, slide(objective="20x"))
    assert not shows_too_little(facts, asked, slide())


def test_independent_fields_and_slides_weigh_the_share_of_a_usual_look(
    facts: DiagnosisFacts,
) -> None:
    mount = slide(fields=5, examined=1)
    assert effort(facts, mount, mount.looks[0]) == pytest.approx(0.5 * 0.5)
    plenty = slide(fields=50, examined=9)
    assert effort(facts, plenty, plenty.looks[0]) == 1
    assert effort(facts, slide(), mount.looks[0]) == 1


def test_a_fish_dead_for_nobody_knows_how_long_is_taken_as_long_dead(
    facts: DiagnosisFacts,
) -> None:
    asked = facts.findings["m_tiny_flagellate"]
    assert asked.spoiling is not None
    assert freshness(facts, asked, slide(alive="no"), {"none"}) == asked.spoiling.least
    assert freshness(facts, asked, slide(alive="no"), {"many"}) == 1
    assert as_good_as_none(facts, asked, slide(alive="no"))
    assert whole_and_fresh(facts, asked, slide(alive="yes", fields=10))
    assert not whole_and_fresh(facts, asked, slide(fields=9))
