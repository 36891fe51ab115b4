"""The times of a life-cycle drawing are those of the engine, at five temperatures."""

from __future__ import annotations

import re
from math import isfinite
from xml.etree import ElementTree

import pytest

from tankside import library
from tankside.claims import Provenance
from tankside.claims.organism import DurationLaw, LifeStage, Organism, StageKind
from tankside.errors import BadInput
from tankside.lifecycle import Range, free_life_days, life_days, stage_durations
from tankside.present.cycle_plates import cycle_plates, cycle_svg
from tankside.report.teaching.life_cycle import life_cycle_sheet, span, way_round
from tankside.services.life_cycle import life_cycle, running_organisms

TEMPERATURES_C = (12.0, 18.0, 22.0, 25.0, 28.0)
EACH = [(name, warm) for name in sorted(running_organisms()) for warm in TEMPERATURES_C]
SVG = "{http://www.w3.org/2000/svg}"


def by_claims(organism: Organism, stage: LifeStage, temperature_c: float) -> Range | None:
    """Work the stay out again from the claims alone, by the laws of ``DurationLaw``."""
    if stage.kind is not StageKind.TIMED:
        rated = stage.kind is StageKind.RATED
        return (life_days if rated else free_life_days)(organism, stage, temperature_c)
    claim = organism.claims[f"{stage.key}.residence"]
    scale = 1 / 24 if claim.unit.startswith("h") else 1.0
    if stage.law is DurationLaw.DEGREES:
        start = organism.claims[f"{stage.key}.residence_t0"].number()
        if temperature_c <= start:
            return (float("inf"),) * 3
        scale /= temperature_c - start
    if stage.law is DurationLaw.Q10:
        q10 = organism.claims[f"{stage.key}.residence_q10"].number()
        reference = organism.claims[f"{stage.key}.residence_ref_c"].number()
        scale /= q10 ** ((temperature_c - reference) / 10)
    low, high = claim.bounds()
    return (low * scale, claim.number() * scale, high * scale)


def days_said(words: str) -> tuple[float, float] | None:
    """Read a time on the page back into days; None where none is said."""
    numbers = [float(text) for text in re.findall(r"\d+(?:\.\d+)?", words)]
    if len(numbers) != 2:
        return None
    scale = 1 / 24 if words.endswith(" h") else 1.0
    return (numbers[0] * scale, numbers[1] * scale)


def assert_same(words: str, time_d: Range) -> None:
    """The words hold the ends to the last figure that is written."""
    said = days_said(words)
    if not isfinite(time_d[2]):
        assert said is None, words
        return
    assert said is not None, words
    for shown, end in zip(said, (time_d[0], time_d[2]), strict=True):
        step = 0.5 / 24 if words.endswith(" h") else 0.05 if end < 10 else 0.5
        assert shown == pytest.approx(end, abs=step * 1.001), words


@pytest.mark.parametrize(("name", "temperature_c"), EACH)
def test_each_time_on_drawing_and_table_is_that_of_the_engine(
    name: str, temperature_c: float
) -> None:
    organism = library.load().organisms[name]
    answer = life_cycle(name, temperature_c)
    sheet = life_cycle_sheet(answer)
    table = sheet.parts[1].table
    assert table is not None
    drawn = ElementTree.fromstring(sheet.parts[0].pictures[0].svg)
    written = [text.text for text in drawn.iter(f"{SVG}text") if text.get("class") == "lctime"]
    for stage, row in zip(organism.stages, table.rows, strict=False):
        time_d = by_claims(organism, stage, temperature_c)
        assert time_d is not None
        assert_same(row[3], time_d)
        assert row[3] in written, stage.key
    windows = stage_durations(organism, temperature_c)
    ends = {row[1].lower(): row[3] for row in table.rows[len(organism.stages) :]}
    for words, time_d in windows.rows():
        assert_same(ends[words], time_d)
    if isfinite(windows.cycle[0]):
        assert span(windows.cycle) in sheet.title


def test_the_stay_on_the_fish_is_the_one_printed_for_white_spot() -> None:
    """Noe and Dickerson 1995, Journal of Parasitology 81: 20.4 d at 9 C and 5.5 d at 25 C.

    The two figures are those on file; the article itself was not opened for this test.
    """
    for temperature_c, days in ((9, 20.4), (25, 5.5)):
        stay = life_cycle("ichthyophthirius_multifiliis", temperature_c).passages[0].time_d
        assert stay is not None
        assert stay[1] == pytest.approx(days, rel=0.01)


@pytest.mark.parametrize("name", sorted(running_organisms()))
def test_the_marker_goes_round_by_the_middle_of_each_stage(name: str) -> None:
    answer = life_cycle(name, 25)
    plate = cycle_plates()[name]
    legs = {leg.path: leg.days for leg in way_round(answer, plate)}
    moving = life_cycle_sheet(answer).parts[0].pictures[0].moving
    timed = {p.stage.key: p for p in answer.passages if p.stage.kind is StageKind.TIMED}
    assert legs
    for key, passage in timed.items():
        assert passage.time_d is not None
        if f"dwell-{key}" in legs:
            assert legs[f"dwell-{key}"] == passage.time_d[1]
            assert f'dur="{passage.time_d[1]:.3f}s"' in moving
    for path in legs:
        assert f'id="{plate.id}-{path}"' in moving


def test_velvet_says_first_that_its_figures_are_recalled() -> None:
    sheet = life_cycle_sheet(life_cycle("piscinoodinium_pillulare", 25))
    assert sheet.lead.startswith("Rests on recalled figures and estimates alone")


STAYS = ("residence", "life", "birth_per_d", "lay_per_d", "loss_per_d", "offspring")


@pytest.mark.parametrize("name", sorted(running_organisms()))
def test_where_no_time_of_a_stage_was_read_in_print_the_page_begins_with_that(name: str) -> None:
    organism = library.load().organisms[name]
    read = [
        key
        for key, claim in organism.claims.items()
        if key.rpartition(".")[2] in STAYS and claim.provenance is Provenance.FOUND
    ]
    assert read or organism.first_words
    lead = life_cycle_sheet(life_cycle(name, 25)).lead
    assert all(lead.startswith(words) for words in organism.first_words)


def test_nothing_moves_where_it_does_not_develop_and_the_page_says_so() -> None:
    sheet = life_cycle_sheet(life_cycle("ichthyophthirius_multifiliis", 2))
    assert "stands still" in sheet.title
    assert "animateMotion" not in sheet.parts[0].pictures[0].moving
    assert any("no day can be named" in line for part in sheet.parts for line in part.lines)


@pytest.mark.parametrize("name", sorted(running_organisms()))
def test_every_part_that_is_named_is_in_the_drawing_and_the_other_way_round(name: str) -> None:
    plate = cycle_plates()[name]
    drawn = ElementTree.fromstring(cycle_svg(plate))
    ids = {part.get("id") for part in drawn.iter()}
    assert {text.text for text in drawn.iter(f"{SVG}text")} == set(plate.parts)
    organism = library.load().organisms[name]
    assert set(plate.letters) == {stage.key for stage in organism.stages}
    assert set("".join(plate.letters.values())) <= set(plate.parts)
    assert {f"{plate.id}-stage-{stage.key}" for stage in organism.stages} <= ids
    lengths = [bar.get("data-length") for bar in drawn.iter() if bar.get("data-length")]
    assert [bar.rpartition(": ")[2] for bar in plate.bars] == lengths


@pytest.mark.parametrize("name", sorted(running_organisms()))
def test_a_drawing_holds_no_script_no_style_and_asks_for_nothing(name: str) -> None:
    svg = life_cycle_sheet(life_cycle(name, 25)).parts[0].pictures[0].moving
    assert not re.search(r"<script|\sstyle=|<style|\son\w+=", svg)
    assert all(link.startswith("#") for link in re.findall(r'href="([^"]*)"', svg))


def test_a_fluke_that_bears_live_young_gives_no_bottom_and_no_egg() -> None:
    lines = [line for part in life_cycle_sheet(life_cycle("gyrodactylus_salaris", 20)).parts
             for line in part.lines]  # fmt: skip
    assert any("Nothing of it lies on the bottom" in line for line in lines)
    assert not any("eggs survive" in line for line in lines)


def test_a_parasite_or_a_warmth_that_is_not_there_is_refused() -> None:
    with pytest.raises(BadInput, match="No life cycle") as refused:
        life_cycle("lernaea_cyprinacea", 25)
    assert refused.value.code == "E-LEARN-01"
    for temperature_c in (-1, 41, float("nan")):
        with pytest.raises(BadInput, match="no temperature") as refused:
            life_cycle("trichodina_nobilis", temperature_c)
        assert refused.value.code == "E-LEARN-02"


def lines_of_dose(name: str) -> tuple[str, ...]:
    return next(p for p in life_cycle_sheet(life_cycle(name, 25)).parts if "dose" in p.title).lines


def test_what_a_dose_meets_is_what_the_kill_claims_say() -> None:
    fluke = {line.partition(":")[0]: line for line in lines_of_dose("dactylogyrus_vastator")}
    assert "reached by Formalin, Praziquantel" in fluke["Growing on the gill"]
    assert "not known for Formalin, Praziquantel" in fluke["Egg on the bottom"]
    assert any("the next belongs" in line for line in fluke.values())
    ich = {line.partition(":")[0]: line for line in lines_of_dose("ichthyophthirius_multifiliis")}
    assert "no agent on file" in ich["Feeding under the skin of the fish"]
    claim = (
        library.load().organisms["ichthyophthirius_multifiliis"].claims["kill.formalin.cyst.ratio"]
    )
    cyst = ich["Dividing in a cyst on the bottom"]
    assert f"Formalin ({claim.low:g} to {claim.high:g} times)" in cyst
    assert 'more than the stage "swimming, looking for a fish"' in cyst
    salt = next(line for line in ich.values() if line.startswith("Salt acts otherwise"))
    assert "1.3 g/L" in salt
