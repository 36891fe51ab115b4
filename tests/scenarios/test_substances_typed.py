"""Substances by any of their names, typed as entries and options: the water holds what it holds.

An invented tank of 152.4 L by its sides and 150 L by a hose. What is expected was worked out by
hand from litres and grams.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tankside.course import InWater
from tankside.intake.bodies_of_water import body_of_water
from tankside.library import load
from tankside.quantity.moment import Moment
from tankside.records.case_file import read_case

Run = Callable[..., Any]
Case = Callable[..., Path]

NOW = "2026-06-15T18:00+00:00"
OPENING = ("--name", "Rook Yard", "--keeper", "D. Amsel", "--water", "fresh", "--zone",
           "Europe/London", "--opened", "2026-06-15T09:00", "--country", "GB")  # fmt: skip
ENTRIES = (
    ("system", "inside-length=100 cm", "inside-width=40 cm", "water-height=38.1 cm",
     "hose=15 L/min for 10 min", "carbon=no", "uv=no", "filter-ripe=yes", "plants=no",
     "invertebrates=no", "food-fish=no", "air-stone=yes"),
    ("stock", "name=platy", "count=6", "length=4 cm", "arrived=2025-09-14",
     "quarantined=yes", "gill-damage=no", "life-stage=adult"),
    ("water", "temperature=18 C", "ph=7.7", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N",
     "nitrate=20 mg/L as NO3", "kh=8 dH", "oxygen=8.8 mg/L"),
    ("label", "agent=salt", "strength=pure", "scale=1 g"),
    ("label", "agent=formalin", "strength=40 % w/v as formaldehyde", "syringe=0.1 mL",
     "clear-solution=yes", "expires=2027-09-30"),
    ("label", "agent=potassium permanganate", "strength=pure", "scale=0.001 g",
     "demand-test=yes"),
    ("label", "agent=malachite green", "strength=0.1 % w/v as oxalate", "syringe=0.05 mL",
     "zinc-free=yes", "expires=2027-11-30"),
    ("label", "agent=praziquantel", "strength=pure", "scale=0.001 g", "predissolve=yes"),
)  # fmt: skip
POINT_L = 152.4


@pytest.fixture(scope="module")
def sound(run: Run, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Type the tank once."""
    file = tmp_path_factory.mktemp("rook") / "rook.jsonl"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        assert run("case", "new", str(file), *OPENING).code == 0
        for words in ENTRIES:
            ran = run("case", "add", str(file), *words)
            assert ran.code == 0, (words, ran.out)
    return file


@pytest.fixture
def case(sound: Path, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Case:
    """Return what adds entries to a copy of the tank."""
    monkeypatch.setenv("TANKSIDE_NOW", NOW)
    file = tmp_path / "rook.jsonl"
    shutil.copy(sound, file)

    def add(*entries: tuple[str, ...]) -> Path:
        for words in entries:
            ran = run("case", "add", str(file), *words)
            assert ran.code == 0, (words, ran.out)
        return file

    return add


def dose(run: Run, file: Path, agent: str, strength: str, *more: str) -> Any:
    return run("dose", "--case", str(file), "--agent", agent, "--strength", strength, *more,
               "--json")  # fmt: skip


def grams(ran: Any) -> float:
    number, unit = ran.answer["amount"]["text"].replace("\xa0", " ").split(" ")
    assert unit == "g"
    return float(number)


def refused(ran: Any) -> tuple[str, str]:
    return ran.error["code"], ran.error["message"]


def notes(run: Run, file: Path, *words: str) -> list[str]:
    answer: dict[str, list[str]] = run("case", "add", str(file), *words, "--json").answer
    return answer.get("notes", [])


def _residues_of(file: Path) -> tuple[InWater, ...]:
    """Return what the account holds in the water of a case at the present."""
    view = read_case(file).view()
    return body_of_water(view, load(), Moment(NOW), ("main",)).residues


# One substance, whatever it is called ---------------------------------------------------------

SALTS = ("salt", "NaCl", "nacl", "cooking salt", "Cooking-Salts", "common salt", "TABLE SALT",
         "aquarium salt", "sodium chloride", "sodium-chloride", "Kochsalz", "7647-14-5",
         "natrii chloridum")  # fmt: skip


@pytest.mark.parametrize("name", SALTS)
def test_salt_by_any_name_is_counted_before_more_is_given(case: Case, run: Run, name: str) -> None:
    """305 g in 152.4 L are 2 g/L: one gram a litre is missing to 3, 152 g."""
    file = case(("in-water", f"agent={name}", "amount=305 g", "on=2026-06-14T09:00"))
    assert abs(grams(dose(run, file, "salt", "3 g/L")) - POINT_L) <= 1


@pytest.mark.parametrize("name", SALTS)
def test_salt_by_any_name_can_be_asked_for_and_labelled(case: Case, run: Run, name: str) -> None:
    file = case(("label", f"agent={name}", "strength=pure", "scale=1 g"))
    assert abs(grams(dose(run, file, name, "2 g/L")) - 2 * POINT_L) <= 1
    kept = notes(run, file, "dose", f"agent={name}", "strength=2 g/L")
    assert any(text.startswith("Salt (sodium chloride): 305") for text in kept)


def test_two_names_of_one_substance_add_up(case: Case, run: Run) -> None:
    """152.4 g twice are 2 g/L, told as an entry each or twice as an option."""
    twice = [("in-water", f"agent={name}", "amount=152.4 g") for name in ("salt", "NaCl")]
    file = case(*twice)
    assert abs(grams(dose(run, file, "salt", "3 g/L")) - POINT_L) <= 1
    typed = run("dose", "--agent", "salt", "--strength", "3 g/L", "--volume", "100 L",
                "--second-volume", "100 L", "--label", "pure", "--scale", "1 g", "--animal",
                "goldfish", "--in-water", "NaCl=1 g/L", "--in-water", "cooking salt=1 g/L",
                "--json")  # fmt: skip
    assert abs(grams(typed) - 100) <= 1


def test_one_unknown_lot_leaves_the_sum_unknown(case: Case, run: Run) -> None:
    file = case(("in-water", "agent=salt", "amount=100 g"), ("in-water", "agent=NaCl", "amount=?"))
    code, message = refused(dose(run, file, "salt", "3 g/L"))
    assert (code, message) == ("E-DOSE-20", "How much salt is in the water already is not known.")


@pytest.mark.parametrize("name", ["formaldehyde", "formol", "Formaldehydlösung", "CH2O", "HCHO"])
def test_permanganate_never_meets_formaldehyde_by_any_name(case: Case, run: Run, name: str) -> None:
    file = case(("in-water", f"agent={name}", "amount=2 g"))
    code, message = refused(dose(run, file, "Kaliumpermanganat", "1 mg/L"))
    assert code == "E-DOSE-23"
    assert "formalin and potassium permanganate" in message


@pytest.mark.parametrize("name", ["bluestone", "blue vitriol", "CuSO4", "Kupfersulfat"])
def test_copper_by_any_name_is_the_same_active(case: Case, run: Run, name: str) -> None:
    file = case(
        ("in-water", f"agent={name}", "amount=0.05 g"),
        ("label", "agent=ionic copper", "strength=1 g/L as Cu", "syringe=0.1 mL"),
    )
    assert [lot.agent for lot in _residues_of(file)] == ["copper_sulphate"]
    # The ion is the same, so it counts as there (test_copper_typed); danios bear none of it.
    assert refused(dose(run, file, "copper ionic", "0.1 mg/L as Cu"))[0] == "E-DOSE-26"


def test_a_strength_of_formaldehyde_is_brought_to_the_solution(case: Case, run: Run) -> None:
    file = case()
    plain = dose(run, file, "formalin", "13.51 mg/L").answer["amount"]
    named = dose(run, file, "formaldehyde", "5 mg/L").answer
    assert named["amount"]["text"] == plain["text"]
    assert named["read_as"] == ["formaldehyde: read as formalin, as formaldehyde."]


# What is not one name is never taken for one --------------------------------------------------

SLIPS = {"formaline": "formalin", "malachit green": "malachite green",
         "methylen blue": "methylene blue"}  # fmt: skip


@pytest.mark.parametrize(("slip", "meant"), SLIPS.items())
def test_a_slip_is_refused_with_what_it_is_near_to_and_nothing_is_kept(
    case: Case, run: Run, slip: str, meant: str
) -> None:
    file = case()
    before = file.read_bytes()
    doors = (
        ("case", "add", str(file), "label", f"agent={slip}", "strength=1 % w/v", "syringe=1 mL"),
        ("case", "add", str(file), "dose", f"agent={slip}", "strength=1 mg/L"),
        ("dose", "--case", str(file), "--agent", slip, "--strength", "1 mg/L"),
        ("plan", str(file), "--organism", "ichthyophthirius_multifiliis", "--only", slip),
        ("plan", str(file), "--organism", "ichthyophthirius_multifiliis", "--strength",
         f"{slip}=1 mg/L"),
        ("plan", str(file), "--organism", "ichthyophthirius_multifiliis", "--label",
         f"{slip}=pure", "--scale", "1 g"),
    )  # fmt: skip
    for words in doors:
        error = run(*words, "--json").error
        assert error["code"] == "E-PROD-02", words
        assert meant in error["needed"].lower()
        assert f"Did you mean {meant}?" in error["next"].replace("Malachite", "malachite")
    assert file.read_bytes() == before


def test_a_name_of_several_is_refused_with_all_of_them(case: Case, run: Run) -> None:
    file = case()
    for words in (
        ("case", "add", str(file), "label", "agent=copper", "strength=pure", "scale=1 mg"),
        ("dose", "--case", str(file), "--agent", "Copper", "--strength", "0.1 mg/L as Cu"),
    ):
        error = run(*words, "--json").error
        assert error["code"] == "E-PROD-02"
        assert all(kind in error["needed"] for kind in ("Copper sulphate", "chelated", "free ion"))


def test_a_name_that_was_read_is_read_back_at_the_entry(case: Case, run: Run) -> None:
    file = case()
    assert notes(run, file, "in-water", "agent=Kochsalz", "amount=5 g") == [
        "Kochsalz: read as salt (sodium chloride)."
    ]
    label = ("label", "agent=KMnO4", "strength=pure", "scale=0.001 g")
    assert notes(run, file, *label) == ["KMnO4: read as potassium permanganate."]
    assert notes(run, file, "done", "action=dose", "agent=formol", "amount=2 mL") == [
        "formol: read as formalin."
    ]
    assert notes(run, file, "in-water", "agent=Sodium_Chloride", "amount=5 g") == []


# What nobody can name stops what it may not meet -----------------------------------------------

STOPPED = ("malachite green", "0.1 mg/L as oxalate")


@pytest.mark.parametrize("name", ["white spot liquid", "blue medicine", "formaline", "dye"])
def test_what_nobody_can_name_stops_an_agent_until_it_is_named(
    case: Case, run: Run, name: str
) -> None:
    file = case(("in-water", f"agent={name}", "amount=5 mL", "on=2026-06-14T09:00"))
    error = dose(run, file, *STOPPED).error
    assert error["code"] == "E-DOSE-20"
    assert f'"{name}" (not known by that name) is in the water' in error["message"].replace(
        "\\u201c", '"'
    )
    for way in ("active substance", "never put in", "change all the water"):
        assert way in error["next"]
    number = str(len(file.read_text("utf-8").splitlines()) - 1)
    named = ("--correct", number, "in-water", "agent=salt", "amount=5 g", "--reason", "label read")
    assert run("case", "add", str(file), *named).code == 0
    assert dose(run, file, *STOPPED).code == 0


def test_taking_it_back_lifts_the_stop(case: Case, run: Run) -> None:
    file = case(("in-water", "agent=white spot liquid", "amount=?"))
    assert dose(run, file, *STOPPED).error["code"] == "E-DOSE-20"
    number = str(len(file.read_text("utf-8").splitlines()) - 1)
    assert run("case", "add", str(file), "--void", number, "--reason", "never put in").code == 0
    assert dose(run, file, *STOPPED).code == 0


@pytest.mark.parametrize(("litres", "lifted"), [("160 L", True), ("100 L", False)])
def test_only_a_change_of_all_the_water_lifts_the_stop(
    case: Case, run: Run, litres: str, lifted: bool
) -> None:
    file = case(
        ("in-water", "agent=white spot liquid", "amount=?", "on=2026-06-14T09:00"),
        ("done", "action=water change", f"changed={litres}", "on=2026-06-15T12:00"),
    )
    assert (dose(run, file, *STOPPED).code == 0) is lifted


def test_a_change_before_it_went_in_lifts_nothing(case: Case, run: Run) -> None:
    file = case(
        ("done", "action=water change", "changed=160 L", "on=2026-06-15T10:00"),
        ("in-water", "agent=white spot liquid", "amount=?", "on=2026-06-15T12:00"),
    )
    assert dose(run, file, *STOPPED).error["code"] == "E-DOSE-20"


def test_salt_is_given_with_care_where_what_is_there_does_not_sound_like_salt(
    case: Case, run: Run
) -> None:
    file = case(("in-water", "agent=white spot liquid", "amount=?"))
    cautions = dose(run, file, "salt", "2 g/L").answer["cautions"]
    (about,) = [c for c in cautions if c["code"] == "E-DOSE-20"]
    assert about["level"] == "care"
    assert "white spot liquid" in about["words"]


@pytest.mark.parametrize("name", ["kichen salt", "sea salt"])
def test_what_may_be_salt_stops_salt(case: Case, run: Run, name: str) -> None:
    file = case(("in-water", f"agent={name}", "amount=300 g"))
    error = dose(run, file, "salt", "2 g/L").error
    assert (error["code"], "It may be salt." in error["needed"]) == ("E-DOSE-20", True)


def test_a_name_of_several_stops_only_what_one_of_them_may_not_meet(case: Case, run: Run) -> None:
    """Copper must not meet formalin; nothing is said of any copper with malachite green."""
    file = case(("in-water", "agent=copper", "amount=?"))
    error = dose(run, file, "formalin", "15 mL/m3").error
    assert error["code"] == "E-DOSE-20"
    assert "It may be copper" in error["needed"]
    answer = dose(run, file, *STOPPED).answer
    assert [c["level"] for c in answer["cautions"] if c["code"] == "E-DOSE-20"] == ["care"]


def test_what_is_surely_no_agent_stops_nothing(case: Case, run: Run) -> None:
    file = case(("in-water", "agent=Epsom salt", "amount=20 g"))
    assert dose(run, file, *STOPPED).code == 0


def test_nobody_knows_what_is_in_the_water(case: Case, run: Run) -> None:
    file = case(("in-water", "?", "on=2026-06-14T09:00"))
    error = dose(run, file, "formalin", "15 mL/m3").error
    assert error["code"] == "E-DOSE-20"
    assert "nobody knows what is in the water" in error["message"]
    assert "there is nothing" in error["next"]
    case(("in-water", "none", "on=2026-06-15T12:00"))
    assert dose(run, file, "formalin", "15 mL/m3").code == 0


def test_what_was_typed_beside_an_amount_counts_alike(run: Run, case: Case) -> None:
    case()
    typed = ("dose", "--agent", "malachite green", "--strength", "0.1 mg/L as oxalate",
             "--volume", "150 L", "--second-volume", "150 L", "--label", "0.1 % w/v as oxalate",
             "--syringe", "0.1 mL", "--seen-to", "zinc-free=yes", "--animal", "platy",
             "--filter", "ripe", "--temperature", "20 C", "--ph", "7.5", "--json")  # fmt: skip
    assert run(*typed).code == 0
    for name in ("white spot liquid", "formaline", "dye"):
        error = run(*typed, "--in-water", f"{name}=?").error
        assert (error["code"], name in error["message"]) == ("E-DOSE-20", True)


@pytest.mark.parametrize("amount", ["5 mL", "5 g"])
@pytest.mark.parametrize("name", ["white spot liquid", "formaline"])
def test_what_was_logged_as_given_without_a_known_name_stops_alike(
    case: Case, run: Run, name: str, amount: str
) -> None:
    file = case(("done", "action=dose", f"agent={name}", f"amount={amount}", "on=2026-06-15T10:00"))
    error = dose(run, file, *STOPPED).error
    assert error["code"] == "E-DOSE-20"
    assert name in error["message"]
    case(("done", "action=water change", "changed=160 L", "on=2026-06-15T12:00"))
    assert dose(run, file, *STOPPED).code == 0


def test_a_mass_logged_under_the_name_of_a_form_is_brought_to_the_basis(
    case: Case, run: Run
) -> None:
    """1 g of formaldehyde is 2.7 g of the solution: 17.7 mg/L in 152.4 L, so 15 is there."""
    file = case(("done", "action=dose", "agent=formaldehyde", "amount=1 g"))
    assert dose(run, file, "formalin", "15 mg/L").code != 0
    (lot,) = _residues_of(file)
    assert lot.high_mg_l == pytest.approx(1000 / 0.37 / POINT_L, rel=0.01)


# An amount that nobody knows --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amount", "more"),
    [
        ("?", ()), ("3 mL", ()), ("?", ("--changed", "150 L")),
        ("?", ("--route", "bath", "--minutes", "30 min")),
    ],
)  # fmt: skip
def test_an_unknown_amount_of_the_same_stops_it_by_every_way(
    case: Case, run: Run, amount: str, more: tuple[str, ...]
) -> None:
    file = case(("in-water", "agent=formol", f"amount={amount}", "on=2026-06-14T09:00"))
    error = dose(run, file, "formalin", "20 mL/m3", *more).error
    assert error["code"] == "E-DOSE-20"
    assert error["message"] == "How much formalin is in the water already is not known."
    assert "change all the water" in error["next"]
    case(("done", "action=water change", "changed=160 L", "on=2026-06-15T12:00"))
    if not more:
        assert dose(run, file, "formalin", "20 mL/m3").code == 0


def test_an_unknown_amount_of_the_same_active_stops_a_mixture(case: Case, run: Run) -> None:
    file = case(("in-water", "agent=formol", "amount=?"),
                ("label", "agent=formalin and malachite green", "strength=100 % v/v",
                 "syringe=0.1 mL"))  # fmt: skip
    assert refused(dose(run, file, "Malachitgrün mit Formalin", "15 mL/m3"))[0] == "E-DOSE-22"


def test_a_bath_in_the_water_meets_what_is_in_it(case: Case, run: Run) -> None:
    file = case(("in-water", "agent=Natriumthiosulfat", "amount=2 g"),
                ("label", "agent=Chloramin T", "strength=pure as chloramine-T trihydrate",
                 "scale=0.01 g"))  # fmt: skip
    ran = dose(run, file, "chloramine T", "10 mg/L as chloramine-T trihydrate", "--route", "bath",
               "--minutes", "60 min")  # fmt: skip
    assert refused(ran)[0] == "E-DOSE-23"


# A step of a course ----------------------------------------------------------------------------


def test_case_files_and_tables_take_the_same_names(case: Case, run: Run, tmp_path: Path) -> None:
    file = case()
    entry = {
        "kind": "agent_in_water",
        "agent": "Kochsalz",
        "amount_state": "answered",
        "amount": {"value": "305", "unit": "g"},
        "occurred_at": "2026-06-14T09:00+00:00",
    }
    (tmp_path / "in.json").write_text(json.dumps([entry]), encoding="utf-8")
    assert run("case", "add", str(file), "--from", str(tmp_path / "in.json")).code == 0
    assert abs(grams(dose(run, file, "NaCl", "3 g/L")) - POINT_L) <= 1
    (tmp_path / "in.csv").write_text(
        "kind,agent,strength,scale\nlabel,formaline,pure,1 g\n", encoding="utf-8"
    )
    error = run("case", "add", str(file), "--from", str(tmp_path / "in.csv"), "--json").error
    assert error["code"] == "E-PROD-02"
