"""``tankside bench course``: its shape, and its bound against copying the arrays."""

from __future__ import annotations

import json

import pytest

from tankside.bench.course import command
from tankside.bench.course_speed import different_course, measure
from tankside.library import load


def test_it_prints_the_documented_figures(capsys: pytest.CaptureFixture[str]) -> None:
    command(courses=3, as_json=True)
    figures = json.loads(capsys.readouterr().out)["figures"]
    assert [figure["name"] for figure in figures] == ["courses_s", "copy_s"]
    assert set(figures[0]) == {"name", "value", "unit", "reference", "ratio"}
    assert figures[0]["ratio"] == pytest.approx(figures[0]["value"] / figures[1]["value"])


def test_no_two_courses_are_alike_and_all_arrays_count() -> None:
    different = {repr(different_course(number)) for number in range(500)}
    assert len({words.split(", days", 1)[1] for words in different}) == 500
    times = measure(load(), 2)
    hours = 60 * 24
    assert times["megabytes"] * 1e6 >= 2 * 3 * 10 * hours * 8


@pytest.mark.slow
def test_five_hundred_courses_take_at_most_thirty_times_the_copy() -> None:
    times = measure(load())
    assert times["courses_s"] / times["copy_s"] <= 30
