"""Nothing is dated on a temperature that nobody measured, whichever question asks for it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tankside.errors import NotPossible
from tankside.intake.plan_setup import PlanRequest
from tankside.intake.water_temperature import measured_temperature_c, no_temperature
from tankside.records.case_file import read_case
from tankside.services.cases import Opening, add_words, new_case
from tankside.services.earliest_stop import earliest_stop
from tankside.services.plan import plan

TANK = ("inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm", "heater-dial=28 C")


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A tank whose heater dial was read and whose water was not."""
    monkeypatch.setenv("TANKSIDE_NOW", "2026-05-04T18:00+00:00")
    path = tmp_path / "weir.jsonl"
    new_case(path, Opening("Weir", "a keeper", "fresh", "UTC", "2026-05-01"), by="me")
    add_words(path, "system", TANK, by="me")
    add_words(path, "stock", ("name=cardinal tetra", "count=12", "length=3 cm"), by="me")
    add_words(path, "suspected", ("condition=ICH", "shown-by=spots"), by="me")
    return path


def test_the_dial_of_the_heater_is_no_temperature(case: Path) -> None:
    with pytest.raises(NotPossible) as refused:
        measured_temperature_c(read_case(case).view())
    assert refused.value.as_json() == no_temperature().as_json()
    assert refused.value.code == "E-DOSE-20"


def test_plan_and_earliest_stop_refuse_in_the_same_words(case: Path) -> None:
    for work in (lambda: earliest_stop(read_case(case).view()), lambda: plan(case, PlanRequest())):
        with pytest.raises(NotPossible) as refused:
            work()
        assert refused.value.as_json() == no_temperature().as_json()


def test_fahrenheit_is_turned_into_celsius(case: Path) -> None:
    """77 F is 25 C: (77 - 32) x 5 / 9."""
    add_words(case, "water", ("temperature=77 F",), by="me")
    assert measured_temperature_c(read_case(case).view()) == pytest.approx(25)
