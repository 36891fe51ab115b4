"""``tankside bench plan``: its shape, and that a site is reckoned once, not for each tank."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tankside.bench.plan import command
from tankside.bench.plan_site import Site, make_site
from tankside.bench.plan_speed import measure
from tankside.intake import lived_courses
from tankside.intake.lived_course import LivedCourse
from tankside.intake.plan_setup import PlanRequest, ready
from tankside.library import load
from tankside.records.case_file import read_case


def test_the_course_followed_is_reckoned_once_for_all_tanks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = make_site(tmp_path, Site(tanks=4, groups=2))
    reckoned = []
    real = lived_courses.lived_courses

    def counted(*asked: Any) -> tuple[LivedCourse, ...]:
        reckoned.append(asked)
        return real(*asked)

    monkeypatch.setattr("tankside.intake.bodies_of_water.lived_courses", counted)
    prepared = ready(read_case(path).view(), load(), PlanRequest())
    assert [lot.agent for lot in prepared.case.main.residues] == ["sodium_chloride"]
    assert len(reckoned) == 1


@pytest.mark.slow
def test_it_prints_the_documented_figures(capsys: pytest.CaptureFixture[str]) -> None:
    command(tanks=2, groups=1, as_json=True)
    figures = json.loads(capsys.readouterr().out)["figures"]
    assert [figure["name"] for figure in figures] == ["site_s", "one_tank_s"]
    assert set(figures[0]) == {"name", "value", "unit", "reference", "ratio"}
    assert figures[0]["ratio"] == pytest.approx(figures[0]["value"] / figures[1]["value"])


@pytest.mark.slow
def test_a_plan_for_sixty_tanks_with_21_groups_takes_at_most_thirty_seconds(tmp_path: Path) -> None:
    times = measure(tmp_path, Site(tanks=60, groups=21))
    assert times["site_s"] <= 30
