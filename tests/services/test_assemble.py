"""What the keeper told reaches the course: conditioner, carbon dioxide, the dead of a group."""

from __future__ import annotations

from pathlib import Path

from tankside import library
from tankside.records.case_file import read_case
from tankside.services.assemble import assemble, latest_day, midnight
from tankside.services.cases import Opening, add_words, new_case

TANK = ["inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm"]
BARB = ("stock", ["barb", "name=tiger barb", "count=20", "length=3 cm"])


def assembled(folder: Path, rows: list[tuple[str, list[str]]], *, at_start: bool = False):
    file = folder / "pier.jsonl"
    new_case(file, Opening("Pier", "a keeper", "fresh", "Europe/London", "2026-04-09"), by="me")
    for kind, words in rows if BARB in rows else [*rows, BARB]:
        add_words(file, kind, words, by="me")
    view = read_case(file).view()
    zero = midnight(view, latest_day(view))
    return assemble(view, library.load(), zero, at_start=at_start)


def test_a_conditioner_named_with_a_water_test_marks_the_ammonia_as_perhaps_bound(
    tmp_path: Path,
) -> None:
    rows = [("system", TANK), ("water", ["ammonia=1.2 mg/L as N", "conditioner=yes"])]
    (tank,) = assembled(tmp_path, rows).systems
    assert tank.ammonia_bound is True


def test_a_conditioner_nobody_asked_about_stays_unknown(tmp_path: Path) -> None:
    rows = [("system", TANK), ("water", ["ammonia=1.2 mg/L as N"])]
    (tank,) = assembled(tmp_path, rows).systems
    assert tank.ammonia_bound is None
    assert tank.co2_added is None


def test_carbon_dioxide_led_in_for_plants_is_handed_on(tmp_path: Path) -> None:
    (tank,) = assembled(tmp_path, [("system", [*TANK, "co2=yes"])]).systems
    assert tank.co2_added is True


def test_the_dead_of_a_group_are_counted_apart_from_the_living(tmp_path: Path) -> None:
    rows = [("system", TANK), BARB, ("death", ["4", "group=barb"])]
    (barb,) = assembled(tmp_path, rows).stock
    assert (barb.count, barb.died) == (16, 4)
