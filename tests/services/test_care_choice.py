"""Courses of care that are chosen: the salt by the printed ratio, and what animals forbid."""

from __future__ import annotations

from pathlib import Path

import pytest

from tankside.errors import BadInput, NotPossible
from tankside.intake.plan_setup import PlanRequest
from tankside.services import cases
from tankside.services.by_cause import choose_by_cause, plan_by_cause
from tankside.services.care_case import CareAnswer
from tankside.services.care_choice import care_names, choose_care, run_offered
from tankside.services.water_ahead import water_ahead

NOON = "2026-07-03T09:00"
SALT = PlanRequest(labels=("sodium_chloride=pure",), scale="1 g")
LITRES = 162.0
RATIO = 10
"""Chloride to nitrite by mass of the ion: SRAC Publication 462."""


def typed(tmp_path: Path, nitrite: str, species: str = "goldfish", *more: str) -> Path:
    path = tmp_path / "care.jsonl"
    opening = cases.Opening("Sluice End", "J. Amsel", "fresh", "Europe/London", opened="2026-07-03")
    cases.new_case(path, opening, by="test")
    cases.add_words(path, "system", ("inside-length=90 cm", "inside-width=45 cm",
                    "water-height=40 cm", "hose=16.2 L/min for 10 min", "tap=chlorine",
                    "filter-ripe=no"), by="test")  # fmt: skip
    cases.add_words(path, "stock", (f"name={species}", "count=6", "length=8 cm"), by="test")
    read = (f"nitrite={nitrite}", "ammonia=0.5 mg/L as N", "ph=7.4", "temperature=24 C",
            "chloride=25 mg/L", *more, f"on={NOON}")  # fmt: skip
    cases.add_words(path, "water", read, by="test")
    return path


def care(path: Path, request: PlanRequest = SALT) -> CareAnswer:
    answer = plan_by_cause(path, request)
    assert isinstance(answer, CareAnswer)
    return answer


def test_the_salt_brings_chloride_to_the_printed_ratio(tmp_path: Path) -> None:
    """By hand: (10 x 1.5 x 46.005 / 14.007 - 25) x 58.44 / 35.45 mg/L of salt, in 162 L."""
    answer = care(typed(tmp_path, "1.5 mg/L as N"))
    offer = next(o for o in answer.offers if o.salted)
    made = run_offered(answer, offer)
    assert made is not None
    mg_l = (RATIO * 1.5 * 46.005 / 14.007 - 25) * 58.44 / 35.45
    salt = next(a for a in made.amounts if a.agent == "sodium_chloride")
    assert float(salt.value) / 5 == pytest.approx(mg_l * LITRES / 1000, rel=0.02)
    assert "100 g in water to make 500 g" in salt.text or "stock solution" in salt.sum_text


def test_without_a_label_no_salt_is_offered(tmp_path: Path) -> None:
    answer = care(typed(tmp_path, "1.5 mg/L as N"), PlanRequest())
    assert [offer.salted for offer in answer.offers] == [False]


@pytest.mark.parametrize("species", ["clown loach", "cardinal tetra"])
def test_the_salt_stops_at_what_the_animals_bear(tmp_path: Path, species: str) -> None:
    """90 mg/L of nitrite as N ask for more salt than loaches and tetras are given in practice."""
    path = typed(tmp_path, "90 mg/L as N", species)
    before = path.read_bytes()
    answer = care(path)
    offered = zip(care_names(answer), answer.offers, strict=True)
    salted = next(name for name, offer in offered if offer.salted)
    with pytest.raises(NotPossible) as refused:
        choose_care(path, answer, salted, by="test", reason="")
    assert refused.value.code == "E-PLAN-07"
    assert path.read_bytes() == before


def test_a_name_that_is_not_offered_is_refused(tmp_path: Path) -> None:
    path = typed(tmp_path, "1.5 mg/L as N")
    with pytest.raises(BadInput) as refused:
        choose_care(path, care(path), "9", by="test", reason="")
    assert refused.value.code == "E-PLAN-04"


def test_a_change_of_a_third_takes_a_third_of_the_nitrite_at_once(tmp_path: Path) -> None:
    """Mass balance by hand: 1.5 mg/L less a third (print: a third to a half), filter not ripe."""
    ahead = water_ahead(care(typed(tmp_path, "1.5 mg/L as N"), PlanRequest()))
    assert ahead is not None
    nitrite = next(row for row in ahead.rows if row.safe.what == "nitrite")
    assert nitrite.low[0] == pytest.approx(1.5 * (1 - 0.33), rel=0.03)
    assert nitrite.high[0] == pytest.approx(1.5 * (1 - 0.33), rel=0.03)


def test_what_is_not_measured_is_asked_for_and_not_guessed(tmp_path: Path) -> None:
    path = typed(tmp_path, "1.5 mg/L as N")
    ahead = water_ahead(care(path, PlanRequest()))
    assert ahead is not None
    assert ahead.asks == ("oxygen",)


def test_where_no_course_has_an_end_the_choice_is_that_of_the_plan(tmp_path: Path) -> None:
    """White spot at 2 C: plan tells care (E-PLAN-01), so a course of that care can be chosen."""
    path = typed(tmp_path, "0 mg/L as N", "goldfish")
    cold = ("temperature=1 C", "ammonia=0 mg/L as N", "on=2026-07-03T10:00")
    cases.add_words(path, "water", cold, by="test")
    cases.add_words(path, "confirmed", ("condition=ICH", "shown-by=skin scrape"), by="test")
    answer = care(path, PlanRequest())
    assert answer.refused is not None
    assert answer.refused.code == "E-PLAN-01"
    added = choose_by_cause(path, care_names(answer)[0], PlanRequest(), by="test", reason="")
    assert added.new
