"""A water calculation is data from its service; its words are written once, for text and JSON."""

from __future__ import annotations

import json
from typing import Any

import pytest
from typer.testing import CliRunner

from tankside.cli.main import app
from tankside.library import load
from tankside.present.block_text import document_text
from tankside.report import water_words
from tankside.report.water import water_document, water_json
from tankside.services.water import ammonia, nitrite
from tankside.services.water_answer import Remark, WaterFigure, WaterRemark, WaterResult
from tankside.services.water_volume import VolumeRequest, volume

NUMBERS = {
    "guideline_mg_l_n": 0.0165, "gill_damage_mg_l_n": 0.06, "criterion_mg_l_n": 1.2,
    "ion_mg_l": 2.6, "nitrogen_mg_l": 0.79, "ratio": 10.0, "right_g": 0.3,
    "ion_taken_for_nitrogen_g": 16.0, "nitrogen_taken_for_ion_g": 0.1, "limit_mg_l": 20.0,
    "co2_mg_l": 3.04, "ph_in_air": 8.21, "label_l": 216.0, "off_percent": 25.4, "limit_c": 1.0,
    "since_mg_l": 12.0, "read_mg_l": 25.0,
}  # fmt: skip
BASE = ("water", "ammonia", "--temperature", "19.0 C", "--ph", "7.8", "--total", "1.2 mg/L as N")


@pytest.mark.parametrize("remark", Remark)
def test_every_remark_has_a_sentence_that_is_filled_in(remark: Remark) -> None:
    claim = load().claim("water.nitrite.chloride_ratio")
    sentence = water_words.remark_words(WaterRemark(remark, NUMBERS, claim))
    assert sentence.endswith(".")
    assert "{" not in sentence
    assert "None" not in sentence


@pytest.mark.parametrize("figure", WaterFigure)
def test_every_figure_has_a_name(figure: WaterFigure) -> None:
    name = water_words.figure_name(WaterResult(figure, 1.0, "g", which="2"))
    assert name
    assert "{" not in name


def test_the_service_holds_toxic_ammonia_against_what_is_on_record() -> None:
    """By the recorded guideline and first gill damage; a tenth of a reading is a tenth toxic."""
    levels = [ammonia("25 C", "8.0", total).notes[0] for total in ("0.1 mg/L as N", "10 mg/L as N")]
    assert [note.remark for note in levels] == [Remark.BELOW_GUIDELINE, Remark.GILL_DAMAGE]
    harm = load().claim("water.ammonia.gill_damage").number()
    assert levels[0].numbers["gill_damage_mg_l_n"] == harm


def test_taking_nitrogen_for_the_ion_is_told_as_two_amounts() -> None:
    """14.007/46.005 of nitrite as the ion is nitrogen; salt at a ratio goes with the reading."""
    (trap,) = nitrite("2.6 mg/L as NO2", "0 mg/L", "100 L").warnings
    assert trap.remark is Remark.UNIT_DECIDES
    numbers = trap.numbers
    ratio_of_units = numbers["ion_taken_for_nitrogen_g"] / numbers["right_g"]
    assert ratio_of_units == pytest.approx(46.005 / 14.007, rel=1e-3)
    twice_taken = numbers["right_g"] / numbers["nitrogen_taken_for_ion_g"]
    assert twice_taken == pytest.approx(46.005 / 14.007, rel=1e-3)


def test_two_volumes_that_lie_apart_are_marked_and_named() -> None:
    """90 x 45 x 40 cm is 162 L; 40 imperial gallons are 181.8 L, 12 % above it."""
    answer = volume(VolumeRequest("90 cm", "45 cm", "40 cm", second="40 imperial gal"))
    assert [warning.remark for warning in answer.warnings] == [Remark.METHODS_FAR_APART]
    content: Any = water_json(answer)
    names = [row["name"] for row in content["results"]]
    assert names == ["net water", "by the second figure", "difference", "net water", "net water"]


def test_a_sentence_is_the_same_in_text_and_json(monkeypatch: pytest.MonkeyPatch) -> None:
    changed = {**water_words._SENTENCES, Remark.AMMONIA_BOUND: lambda _: "Sentence of this test."}
    monkeypatch.setattr(water_words, "_SENTENCES", changed)
    runner = CliRunner()
    assert "Sentence of this test." in runner.invoke(app, list(BASE)).stdout
    answer = json.loads(runner.invoke(app, [*BASE, "--json"]).stdout)
    assert "Sentence of this test." in answer["notes"]


def test_text_carries_every_figure_and_note_of_the_json() -> None:
    answer = ammonia("29 C", "9", "2.0 mg/L as NH4")
    text = document_text(water_document(answer))
    content: Any = water_json(answer)
    assert content["warnings"] == []
    for row in content["results"]:
        assert f"{row['name']}" in text
        assert row["text"] in text
    for note in content["notes"]:
        assert note in text
