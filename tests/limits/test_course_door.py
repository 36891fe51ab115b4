"""A followed course of a case is held to the same rules as one amount: what forbids it."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tankside.course import Course, LabelEntry, StrengthBasis, Tool, ToolUnit
from tankside.course.actions import Dose
from tankside.course.amounts import double_check
from tankside.course.amounts.printing import print_amount
from tankside.errors import Mistake, NotPossible
from tankside.intake.course_codec import encode_course
from tankside.intake.followed_course import running
from tankside.library import load
from tankside.records.case_file import read_case
from tankside.services.case_import import add_from_file
from tankside.services.cases import Opening, add_words, new_case

CASE = Path("case.jsonl")
DAY = "2026-03-04T08:00+00:00"
WATER = {"temperature": "20 C", "ph": "7.4", "oxygen": "8 mg/L", "alkalinity": "120 mg/L as CaCO3"}


def container(
    agent: str, strength: str = "1", form: str = "as such", step: str = "0.001", **more: Any
) -> LabelEntry:
    return replace(
        LabelEntry(agent, Decimal(strength), StrengthBasis.MASS_PER_MASS, form, Decimal(1), None,
                   Tool(ToolUnit.GRAM, Decimal(step))),
        **more,
    )  # fmt: skip


SALT = container("sodium_chloride")
COPPER = container("copper_sulphate")


@dataclass(frozen=True)
class Bad:
    """One bad dose of a followed course: the step, its container, what is told of the water."""

    code: str
    step: Dose
    label: LabelEntry = SALT
    hose: str = "17.5 L/min for 10 min"
    in_water: tuple[str, ...] = ()
    water: dict[str, str] = field(default_factory=lambda: WATER)


def salt(mg_l: float = 2000.0) -> Dose:
    return Dose(8, "main", "sodium_chloride", mg_l)


def copper(mg_l: float = 0.4) -> Dose:
    return Dose(8, "main", "copper_sulphate", mg_l)


PRAZI = Dose(8, "main", "praziquantel", 2.0)
BAD = {
    "ten times too strong": Bad("E-DOSE-10", salt(20_000)),
    "just above the hard limit": Bad("E-DOSE-10", salt(5000.1)),
    "label of 0 %": Bad("E-PROD-01", salt(), container("sodium_chloride", "0")),
    "label of 120 %": Bad("E-PROD-01", salt(), container("sodium_chloride", "1.2")),
    "container that has expired": Bad("E-PROD-03", salt(), replace(SALT, expired=True)),
    "label read too long ago": Bad("E-PROD-03", salt(), replace(SALT, read_at_h=-24.0 * 400)),
    "alkalinity not measured": Bad(
        "E-DOSE-20", copper(), COPPER, water={k: v for k, v in WATER.items() if k != "alkalinity"}),
    "alkalinity under the lowest": Bad(
        "E-DOSE-25", copper(), COPPER, water=WATER | {"alkalinity": "36 mg/L as CaCO3"}),
    "nobody looked": Bad("E-DOSE-20", PRAZI, container("praziquantel")),
    "looked at last week": Bad(
        "E-DOSE-20", PRAZI, container("praziquantel", ready=("predissolve",), read_at_h=-170.0)),
    "not dissolved": Bad(
        "E-DOSE-25", PRAZI, container("praziquantel", not_ready=("predissolve",))),
    "two volumes a third apart": Bad("E-DOSE-21", salt(), hose="23 L/min for 10 min"),
    "the same active running": Bad(
        "E-DOSE-22", Dose(8, "main", "formalin", 15.0), container("formalin"),
        in_water=("agent=formalin_malachite_green", "amount=2 g")),
    "a forbidden pair": Bad(
        "E-DOSE-23", copper(), COPPER, in_water=("agent=formalin", "amount=5 g")),
    "too little for the scale": Bad(
        "E-DOSE-24", copper(), container("copper_sulphate", step="1")),
}  # fmt: skip


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-04T12:00+00:00")
    new_case(CASE, Opening("Elm Road", "Marta Vell", "fresh", "Europe/London", "2026-03-02"),
             by="me")  # fmt: skip


def refusals(bad: Bad) -> dict[str, str]:
    """Follow the course in a case; return what forbids it, by code."""
    typed = [
        ("system", ["meter=173 L", f"hose={bad.hose}"]),
        ("stock", ["name=goldfish", "count=3", "length=8 cm", "life-stage=adult"]),
        ("water", [f"{what}={text}" for what, text in bad.water.items()]),
    ]
    typed += [("in-water", list(bad.in_water))] if bad.in_water else []
    for kind, words in typed:
        add_words(CASE, kind, ["on=2026-03-04T07:00", *words], by="me")
    kept = encode_course(Course("the course", 5, (bad.step,)), {bad.label.agent: bad.label})
    entry = {"kind": "course_chosen", "name": "the course", "starts_at": DAY, "occurred_at": DAY,
             "course": kept}  # fmt: skip
    Path("course.json").write_text(json.dumps([entry]), encoding="utf-8")
    add_from_file(CASE, "course.json", kind=None, by="me")
    try:
        course = running(read_case(CASE).view(), load())
    except Mistake as refused:
        return {refused.code: refused.message}
    assert not course.run.amounts or bad.code in ("", "E-DOSE-22", "E-DOSE-23")
    return {caution.code: caution.words for caution in course.run.blocked}


@pytest.mark.parametrize("name", BAD)
def test_a_followed_course_is_held_to_it(name: str) -> None:
    assert BAD[name].code in refusals(BAD[name])


def test_a_sound_course_is_not_forbidden() -> None:
    assert refusals(Bad("", salt())) == {}


def test_sums_that_differ_end_a_followed_course(monkeypatch: pytest.MonkeyPatch) -> None:
    """Row 26: the way back is bent, so no amount may be shown."""
    sound = double_check.strength_from_print
    print_amount.cache_clear()
    monkeypatch.setattr(double_check, "strength_from_print", lambda *a: sound(*a) * 2)
    refused = refusals(Bad("E-DOSE-900", salt()))
    print_amount.cache_clear()
    assert "E-DOSE-900" in refused


def test_a_refusal_of_the_check_is_a_refusal_of_the_program_not_of_the_keeper() -> None:
    with pytest.raises(NotPossible):
        double_check.strength_from_print("2 cups", "", "", "1")
