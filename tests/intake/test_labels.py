"""What is printed on a container, as typed, becomes exactly what a sum needs."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from tankside.course import LabelEntry, StrengthBasis, Tool, ToolUnit
from tankside.errors import BadInput
from tankside.intake.labels import AtHand, at_hand, labels_of, read_labels
from tankside.library import load
from tankside.quantity.moment import Moment
from tankside.records.case_file import read_case
from tankside.services.cases import Opening, add_words, new_case

FACTS = load()
NOW = Moment("2026-03-04T18:00+00:00")
GRAM, MILLILITRE = Tool(ToolUnit.GRAM, Decimal(1)), Tool(ToolUnit.MILLILITRE, Decimal("0.5"))


def label(typed: str, scale: str | None = "1 g", syringe: str | None = None) -> LabelEntry:
    (entry,) = read_labels(FACTS, [typed], scale, syringe).values()
    return entry


def refused(typed: str, scale: str | None = "1 g", syringe: str | None = None) -> BadInput:
    with pytest.raises(BadInput) as mistake:
        read_labels(FACTS, [typed], scale, syringe)
    return mistake.value


@pytest.mark.parametrize(
    ("printed", "strength", "basis", "solid"),
    [
        ("pure", "1", StrengthBasis.PURE, True),
        ("99.5 % w/w", "0.995", StrengthBasis.MASS_PER_MASS, True),
        ("25 % w/v", "0.25", StrengthBasis.MASS_PER_VOLUME, False),
        ("10 g/L", "10", StrengthBasis.MG_PER_ML, False),
        ("500 mg/L", "0.5", StrengthBasis.MG_PER_ML, False),
    ],
)
def test_a_strength_is_read_with_its_basis(
    printed: str, strength: str, basis: StrengthBasis, solid: bool
) -> None:
    """10 g in a litre are 10 mg in a millilitre; 25 g in 100 mL are a share of 0.25."""
    entry = label(f"sodium_chloride={printed}", "1 g", "0.5 mL")
    assert (entry.strength, entry.basis, entry.solid) == (Decimal(strength), basis, solid)


def test_a_substance_is_found_by_its_trade_name_and_kept_by_its_id() -> None:
    assert label("salt=pure").agent == "sodium_chloride"


@pytest.mark.parametrize(
    ("printed", "scale", "syringe", "first", "second"),
    [
        ("pure", "1 g", None, GRAM, None),
        ("pure", "1 g", "0.5 mL", GRAM, MILLILITRE),
        ("10 g/L", None, "0.5 mL", MILLILITRE, None),
        ("10 g/L", "1 g", "0.5 mL", MILLILITRE, GRAM),
    ],
)
def test_the_scale_weighs_and_the_syringe_measures_or_takes_the_stock_solution(
    printed: str, scale: str | None, syringe: str | None, first: Tool, second: Tool | None
) -> None:
    entry = label(f"sodium_chloride={printed}", scale, syringe)
    assert (entry.tool, entry.stock_tool) == (first, second)


def test_a_tool_is_kept_in_the_unit_it_reads() -> None:
    assert label("sodium_chloride=pure", "5 mg").tool == Tool(ToolUnit.MILLIGRAM, Decimal(5))


@pytest.mark.parametrize(
    ("typed", "scale", "syringe", "field"),
    [
        ("sodium_chloride", "1 g", None, "label"),  # no strength
        ("sodium_chloride=pure", None, None, "scale"),  # nothing to weigh with
        ("sodium_chloride=pure", None, "0.5 mL", "scale"),  # a syringe weighs nothing
        ("sodium_chloride=10 g/L", None, None, "scale"),
        ("sodium_chloride=pure", "1 kg", None, "scale"),  # too coarse a unit for any tool
        ("sodium_chloride=10 g/L", None, "1 L", "syringe"),
        ("sodium_chloride=as product", None, "0.5 mL", "label"),  # salt is told as NaCl
        ("sodium_chloride=120 % w/w", "1 g", None, "label"),
        ("sodium_chloride=10 % v/v", None, "0.5 mL", "label"),  # a volume of a mass
        ("sodium_chloride=0 % w/w", "1 g", None, "label"),
    ],
)
def test_what_a_sum_cannot_use_is_refused(
    typed: str, scale: str | None, syringe: str | None, field: str
) -> None:
    mistake = refused(typed, scale, syringe)
    assert (mistake.code, mistake.field) == ("E-PROD-01", field)
    assert mistake.next_step


def test_a_name_that_stands_for_no_substance_is_refused_with_those_that_do() -> None:
    mistake = refused("wonder water=pure")
    assert (mistake.code, mistake.given) == ("E-PROD-02", "wonder water")
    assert "sodium_chloride" in mistake.needed


def test_a_form_is_taken_for_its_content_of_the_basis() -> None:
    """Blue crystals are 249.685 g/mol with 63.546 g/mol of copper (IUPAC 2021, from memory)."""
    crystals = label("copper_ionic=pure as CuSO4.5H2O", "1 mg")
    assert float(crystals.active_per_form) == pytest.approx(63.546 / 249.685, rel=1e-3)
    assert (crystals.form, crystals.form_named) == ("as CuSO4.5H2O", True)
    element = label("copper_ionic=25 % w/w as Cu", "1 mg")
    assert element.active_per_form == 1


def test_a_form_is_found_whatever_its_capitals() -> None:
    assert label("copper_ionic=pure as cuso4.5h2o", "1 mg").active_per_form < 1


def test_where_containers_hold_one_form_alone_it_is_taken_and_known_as_not_named() -> None:
    entry = label("sodium_chloride=pure")
    assert (entry.form, entry.form_named, entry.active_per_form) == ("as NaCl", False, 1)


def test_a_liquid_told_as_product_is_measured_whole_and_names_the_basis_of_its_agent() -> None:
    entry = label("formalin=as product", None, "0.5 mL")
    assert (entry.strength, entry.basis) == (1, StrengthBasis.AS_PRODUCT)
    assert (entry.solid, entry.active_per_form, entry.tool) == (False, 1, MILLILITRE)
    assert refused("formalin=37 % w/v", None, "0.5 mL").code == "E-PROD-01"


def test_the_last_of_two_labels_of_one_substance_stands() -> None:
    entries = read_labels(FACTS, ["salt=pure", "sodium_chloride=50 % w/w"], "1 g", None)
    assert {name: entry.strength for name, entry in entries.items()} == {
        "sodium_chloride": Decimal("0.5")
    }


def test_what_is_typed_about_the_container_is_held_against_the_present() -> None:
    pure = label("sodium_chloride=pure")
    seen = at_hand(pure, AtHand(seen_to=("clear-solution=yes", "buffer=no")), NOW)
    assert (seen.ready, seen.not_ready) == (("clear_solution",), ("buffer",))
    assert (seen.expired, seen.read_at_h) == (None, 0)
    read = at_hand(pure, AtHand(read_on="2026-03-03T12:00"), NOW)
    assert read.read_at_h == -30  # noon of the day before is 30 hours back


@pytest.mark.parametrize(
    ("printed", "expired"), [("2026-03-03", True), ("2026-03-04", False), ("2027-05-31", False)]
)
def test_a_container_is_good_to_the_end_of_the_day_printed_on_it(
    printed: str, expired: bool
) -> None:
    assert at_hand(label("sodium_chloride=pure"), AtHand(expires=printed), NOW).expired is expired


@pytest.mark.parametrize("answer", ["buffer", "buffer=maybe", "beauty=yes", "=yes"])
def test_an_answer_that_is_none_is_refused_with_the_needs_there_are(answer: str) -> None:
    with pytest.raises(BadInput) as mistake:
        at_hand(label("sodium_chloride=pure"), AtHand(seen_to=(answer,)), NOW)
    assert (mistake.value.code, mistake.value.given) == ("E-WORD-02", answer)
    assert "buffer=yes" in mistake.value.needed


def test_the_containers_of_a_case_are_those_entered_last_with_their_age(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-04T18:00+00:00")
    file = tmp_path / "elm.jsonl"
    new_case(file, Opening("Elm", "a keeper", "fresh", "UTC", "2026-03-02"), by="tester")
    first = ("agent=salt", "strength=50 % w/w", "scale=1 g", "on=2026-03-02T08:00")
    again = ("agent=salt", "strength=pure", "scale=1 g", "expires=2026-03-03",
             "clear-solution=yes", "buffer=no", "on=2026-03-03T18:00")  # fmt: skip
    add_words(file, "label", first, by="tester")
    add_words(file, "label", again, by="tester")
    (entry,) = labels_of(read_case(file).view(), FACTS, NOW).values()
    plain = label("sodium_chloride=pure")
    assert replace(entry, read_at_h=0, expired=None, ready=(), not_ready=()) == plain
    assert (entry.read_at_h, entry.expired) == (-24, True)
    assert (entry.ready, entry.not_ready) == (("clear_solution",), ("buffer",))
