"""What the keeper told reaches the course: conditioner, carbon dioxide, the dead of a group."""

from __future__ import annotations

from pathlib import Path

import pytest

from tankside import library
from tankside.course.amounts.needs import VOLUME_AGE_KEY
from tankside.errors import NotPossible
from tankside.intake.assemble import Assembled, assemble, midnight
from tankside.intake.dose_request import DoseRequest
from tankside.records.case_file import read_case
from tankside.services.cases import Opening, add_words, new_case
from tankside.services.dose import work_out

TANK = ["inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm"]
BARB = ("stock", ["barb", "name=tiger barb", "count=20", "length=3 cm"])


def assembled(
    folder: Path, rows: list[tuple[str, list[str]]], *, at_start: bool = False
) -> Assembled:
    file = folder / "pier.jsonl"
    new_case(file, Opening("Pier", "a keeper", "fresh", "Europe/London", "2026-04-09"), by="me")
    for kind, words in rows if any(kind == "stock" for kind, _ in rows) else [*rows, BARB]:
        add_words(file, kind, words, by="me")
    view = read_case(file).view()
    zero = midnight(view, view.last_moment().day)
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


def test_a_volume_measured_long_ago_gives_no_amount_until_it_is_measured_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The volume of a case ages like every reading: 30 days, then it is measured again."""
    monkeypatch.setenv("TANKSIDE_NOW", "2026-06-01T12:00+00:00")
    oldest = library.load().number(VOLUME_AGE_KEY)
    assert oldest == 720
    file = tmp_path / "pier.jsonl"
    new_case(file, Opening("Pier", "a keeper", "fresh", "UTC", "2026-05-31"), by="me")
    add_words(file, BARB[0], [*BARB[1], "life-stage=adult"], by="me")
    add_words(file, "label", ["agent=salt", "strength=pure", "scale=1 g"], by="me")
    add_words(file, "system", [*TANK, "on=2026-05-02T11:59"], by="me")
    with pytest.raises(NotPossible) as refused:
        work_out(DoseRequest("salt", "1 g/L"), read_case(file).view())
    assert refused.value.code == "E-DOSE-20"
    assert "water volume" in refused.value.message
    add_words(file, "system", ["label=216 L", "on=2026-05-20"], by="me")
    with pytest.raises(NotPossible):
        work_out(DoseRequest("salt", "1 g/L"), read_case(file).view())
    add_words(file, "system", [*TANK, "on=2026-05-02T12:00"], by="me")
    answer = work_out(DoseRequest("salt", "1 g/L"), read_case(file).view())
    assert answer.amount.text == "162\xa0g"  # 90 x 45 x 40 cm are 162 L


def test_tanks_on_one_water_are_asked_about_once_together(tmp_path: Path) -> None:
    rows = [("system", [name, *TANK, "shares-water-with=a"]) for name in ("b", "c", "d")]
    alone = ("system", ["e", *TANK, "use=hospital"])
    barb = ("stock", [*BARB[1], "system=a"])
    asked = assembled(tmp_path, [("system", ["a", *TANK]), *rows, alone, barb]).questions
    carbon = {key: words for key, words in asked.items() if key.endswith(".carbon")}
    assert set(carbon) == {"system.a.carbon", "system.e.carbon"}
    assert carbon["system.a.carbon"].startswith("a and 3 more tanks of the same water: ")
    assert carbon["system.e.carbon"].startswith("e: ")
