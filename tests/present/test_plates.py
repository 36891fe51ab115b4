"""Each line drawing shows the parts that its caption names, with the bars that it says."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from tankside.library.diagnosis_files import load_diagnosis
from tankside.present.plates import Plate, plate_svg, plates

SVG = "{http://www.w3.org/2000/svg}"
EACH = pytest.mark.parametrize("plate", plates().values(), ids=list(plates()))


def drawing(plate: Plate) -> ElementTree.Element:
    data = plate_svg(plate.id)
    assert data is not None
    return ElementTree.fromstring(data)


def test_there_are_forty_one() -> None:
    assert len(plates()) == 41
    assert {plate.group for plate in plates().values()} == {"sign", "microscope"}


@EACH
def test_the_letters_in_a_drawing_are_those_of_its_caption(plate: Plate) -> None:
    assert {text.text for text in drawing(plate).iter(f"{SVG}text")} == set(plate.parts)


@EACH
def test_the_words_inside_a_drawing_are_those_of_its_caption(plate: Plate) -> None:
    words = drawing(plate).findtext(f"{SVG}desc") or ""
    assert all(f"{letter} {named}" in words for letter, named in plate.parts.items())


@EACH
def test_the_bars_in_a_drawing_are_those_that_are_said(plate: Plate) -> None:
    lengths = [bar.get("data-length") for bar in drawing(plate).iter() if bar.get("data-length")]
    assert [bar.rpartition(": ")[2] for bar in plate.bars] == lengths
    assert lengths or plate.group == "sign"


@EACH
def test_a_drawing_says_what_separates_and_of_which_causes_it_is(plate: Plate) -> None:
    assert plate.separates.endswith(".")
    assert set(plate.of) <= set(load_diagnosis().conditions)
    assert plate.basis
