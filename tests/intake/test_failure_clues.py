"""What the record of a case points to when counts do not fit."""

from __future__ import annotations

from pathlib import Path

from tests.services.salt_case import Row, salt_case

from tankside.follow import Clues
from tankside.intake.failure_clues import failure_clues
from tankside.intake.follow_setup import FollowRequest, follow_setup
from tankside.records.case_file import read_case

ASKED: Row = ("note", "on=2026-05-08T12:00", "looked in")


def clues(folder: Path, *rows: Row, course: bool = True) -> Clues:
    view = read_case(salt_case(folder, *rows, ASKED, course=course)).view()
    setup = follow_setup(view, FollowRequest())
    return failure_clues(view, setup.case.main, setup.course_as_done)


def test_a_course_gone_through_points_to_nothing_but_what_nobody_checked(tmp_path: Path) -> None:
    assert clues(tmp_path) == Clues(
        stopped=False, other_amount=False, carbon_in=False, uv_on=False, volume_weak=True,
        new_animals=False, shared_tools=None, proven=False, warm=False,
    )  # fmt: skip


def test_without_a_course_nothing_is_known_of_its_steps(tmp_path: Path) -> None:
    without = clues(tmp_path, course=False)
    assert (without.stopped, without.other_amount, without.warm) == (None, None, None)
    assert without.carbon_in is True  # as the tank was described


def test_a_stop_and_a_missed_step_are_both_an_interruption(tmp_path: Path) -> None:
    for number, row in enumerate((
        ("decision", "stop", "on=2026-05-06T19:00", "reason=spots gone"),
        ("not-done", "action=salt", "on=2026-05-05T18:00", "reason=away"),
    )):  # fmt: skip
        (tmp_path / str(number)).mkdir()
        assert clues(tmp_path / str(number), row).stopped is True


def test_another_amount_is_a_clue(tmp_path: Path) -> None:
    row: Row = ("other-amount", "action=salt", "step=A0-2", "amount=50 g", "on=2026-05-04T18:00")
    assert clues(tmp_path, row).other_amount is True


def test_what_came_in_after_the_first_day_is_a_clue_and_what_was_there_is_none(
    tmp_path: Path,
) -> None:
    before: Row = ("stock", "tetra", "name=neon tetra", "count=4", "length=3 cm",
                   "arrived=2026-04-30")  # fmt: skip
    after = (*before[:-1], "arrived=2026-05-06")
    for number, (row, came) in enumerate(((before, False), (after, True))):
        (tmp_path / str(number)).mkdir()
        assert clues(tmp_path / str(number), row).new_animals is came


def test_a_ciliate_under_the_microscope_is_the_proof(tmp_path: Path) -> None:
    row: Row = ("wet-mount", "skin-scrape", "on=2026-05-04T19:00", "m_big_ciliate=2 crescent",
                "fish=worst platy", "alive=yes")  # fmt: skip
    assert clues(tmp_path, row).proven is True


def test_shared_tools_and_a_second_measure_of_the_volume_are_read_from_the_tank(
    tmp_path: Path,
) -> None:
    rows = (
        ("system", "main", "shared-tools=net of the shrimp tank"),
        ("system", "main", "meter=159 L"),
    )
    tank = clues(tmp_path, *rows)
    assert (tank.shared_tools, tank.volume_weak) == (True, False)
