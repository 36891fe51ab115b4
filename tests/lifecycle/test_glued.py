"""Eggs that are glued fast stay where a siphon goes; what nothing acts on is not compared."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.lifecycle.tanks import body, play, start, stating, tank_hours

from tankside import library
from tankside.course.bodies.tank_hours import Channel, TimedEvent
from tankside.errors import NotPossible
from tankside.intake.plan_setup import PlanRequest, to_compare
from tankside.lifecycle.inputs.mortality_factors import anything_acts
from tankside.records.case_store import read_case
from tankside.report.teaching.life_cycle import life_cycle_sheet
from tankside.services import cases
from tankside.services.by_cause import plan_by_cause
from tankside.services.care_case import CareAnswer
from tankside.services.life_cycle import life_cycle

LOUSE = library.load().organisms["argulus_foliaceus"]


@pytest.mark.parametrize(("loose", "left"), [(0.0, 1.0), (0.5, 0.6), (1.0, 0.2)])
def test_a_siphon_lifts_the_part_that_lies_loose(loose: float, left: float) -> None:
    louse = stating(LOUSE, egg__siphoned_share=loose)
    siphon = TimedEvent(240, "main", Channel.BOTTOM_REMOVED, 0.8, 0.8, 0.8)
    shares = []
    for events in ((), (siphon,)):
        water = tank_hours(body(hours=242, warm=15.0), events=events)
        shares.append(play(louse, water, start(20.0), record_h=(241,)).bottom.sum())
    assert shares[1] / shares[0] == pytest.approx(left, abs=0.02)


def test_the_page_says_that_a_siphon_does_not_lift_glued_eggs() -> None:
    lines = [line for part in life_cycle_sheet(life_cycle("argulus_foliaceus", 22)).parts
             for line in part.lines]  # fmt: skip
    assert sum("glued fast" in line for line in lines) == 1
    assert not any("One slow siphoning" in line for line in lines)


def test_what_nothing_on_file_acts_on_is_left_to_its_care(tmp_path: Path) -> None:
    nothing = {n for n, o in library.load().organisms.items() if o.stages and not anything_acts(o)}
    assert nothing == {"argulus_foliaceus", "epistylis"}
    file = tmp_path / "case.jsonl"
    opening = cases.Opening("Sill", "a keeper", "fresh", "Etc/UTC", "2026-03-02")
    cases.new_case(file, opening, by="t")
    for kind, *words in (
        ("system", "meter=200 L"),
        ("stock", "gold", "name=goldfish", "count=6", "length=8 cm"),
        ("water", "temperature=22 C"),
        ("confirmed", "condition=ARGULUS", "shown-by=seen"),
    ):
        cases.add_words(file, kind, tuple(words), by="t")
    with pytest.raises(NotPossible, match="E-PLAN-12"):
        to_compare(read_case(file), library.load(), PlanRequest())
    assert isinstance(plan_by_cause(file, PlanRequest()), CareAnswer)
