"""Any name of an agent means that agent at every door, and its form where the name tells one."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.case import Amount
from tankside.case.done import ActionDone
from tankside.claims.substance_names import names_of
from tankside.course import Course, Volume
from tankside.course.actions import Dose, SaltTo, WaterChange
from tankside.errors import BadInput
from tankside.intake.course_codec import encode_course
from tankside.intake.course_steps import followed_steps
from tankside.intake.dose_request import DoseRequest
from tankside.intake.in_water import residue
from tankside.intake.labels import read_labels
from tankside.intake.law import law_lines
from tankside.intake.plan_setup import PlanRequest, _wishes
from tankside.intake.substances import agent_in_water, factor_of, named_agent, read_as
from tankside.library import load
from tankside.records.case_file import read_case
from tankside.services.cases import Opening, add_fields, add_words, new_case
from tankside.services.dose import work_out

FACTS = load()
NAMES = sorted(
    {
        (agent.id, name)
        for agent in FACTS.agents.values()
        for name, _ in names_of(agent)
        if agent.also
    }
)
WATER = Volume(100.0, 100.0, 100.0, "typed")


def respelt(name: str, rng: random.Random) -> str:
    """Write a name with other capital letters and other signs between its words."""
    letters = [rng.choice((sign.upper(), sign.lower())) for sign in name]
    return "".join(rng.choice(("", " ", "-", "_")) if s in " -_" else s for s in letters)


def label_door(name: str) -> set[str]:
    """Read a label; one that says too little is refused after its substance was understood."""
    try:
        return set(read_labels(FACTS, [f"{name}=pure"], "1 g", None))
    except BadInput as refusal:
        understood = named_agent(FACTS, name, "label").agents[0].id
        return {understood if refusal.code == "E-PROD-01" else refusal.code}


DOORS: dict[str, Callable[[str], set[str]]] = {
    "dose": lambda name: {named_agent(FACTS, name, "agent").agents[0].id},
    "label": label_door,
    "in water": lambda name: {residue(FACTS, name, None, WATER, 0.0).agent},
    "plan --only": lambda name: set(_wishes(FACTS, PlanRequest(only=(name,))).only or ()),
    "plan --strength": lambda name: set(
        _wishes(FACTS, PlanRequest(strengths=(f"{name}=1 mg/L",))).strengths
    ),
}


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(NAMES), st.randoms(use_true_random=False))
def test_every_door_takes_every_name_in_every_spelling(
    named: tuple[str, str], rng: random.Random
) -> None:
    agent, name = named
    typed = respelt(name, rng)
    assert [read(typed) for read in DOORS.values()] == [{agent}] * len(DOORS)


@settings(max_examples=60, deadline=None)
@given(st.text(min_size=1, max_size=20))
def test_what_means_no_agent_is_refused_at_every_door_but_that_of_the_water(typed: str) -> None:
    if agent_in_water(FACTS, typed) in FACTS.agents:
        return
    for door in ("dose", "plan --only"):
        with pytest.raises(BadInput) as refusal:
            DOORS[door](typed)
        assert refusal.value.code == "E-PROD-02"
    assert residue(FACTS, typed, None, WATER, 0.0).high_mg_l is None


def test_a_mass_is_brought_to_the_basis_where_the_name_tells_a_form() -> None:
    """37 g of formaldehyde are in 100 g of the solution; CuSO4 weighs 159.6, with water 249.7."""
    gram = Amount(value="1", unit="g")
    for name, mg_l in (
        ("formaldehyde", 10 / 0.37), ("formalin", 10), ("formol", 10),
        ("anhydrous copper sulphate", 10 * 249.69 / 159.61), ("bluestone", 10), ("NaCl", 10),
    ):  # fmt: skip
        assert residue(FACTS, name, gram, WATER, 0.0).high_mg_l == pytest.approx(mg_l, rel=1e-3)
    strength = residue(FACTS, "formaldehyde", Amount(value="1", unit="mg/L"), WATER, 0.0)
    assert strength.high_mg_l == pytest.approx(1 / 0.37, rel=1e-3)


def test_a_strength_wished_for_a_plan_is_brought_to_the_basis_too() -> None:
    wishes = _wishes(FACTS, PlanRequest(strengths=("formaldehyde=10 mg/L", "NaCl=2 g/L")))
    assert wishes.strengths == pytest.approx(
        {"formalin": 10 / 0.37, "sodium_chloride": 2000}, rel=1e-3
    )


def test_a_label_takes_the_form_from_the_name_only_where_a_mass_is_told() -> None:
    (label,) = read_labels(FACTS, ["bluestone=99 % w/w"], "1 mg", None).values()
    assert (label.form, label.form_named) == ("as CuSO4.5H2O", True)
    (sold,) = read_labels(FACTS, ["formaldehyde=as product"], None, "0.1 mL").values()
    assert sold.form == FACTS.agents["formalin"].basis
    with pytest.raises(BadInput) as refusal:
        read_labels(FACTS, ["CuSO4=99 % w/w"], "1 mg", None)
    assert refusal.value.code == "E-PROD-01"


def test_a_form_that_is_none_of_the_agent_s_changes_nothing() -> None:
    assert factor_of(FACTS.agents["formalin"], "as moon dust") == 1.0
    assert factor_of(FACTS.agents["formalin"], "") == 1.0


def test_only_a_name_that_is_not_the_agent_s_own_is_read_back() -> None:
    for name in ("salt", "Salt", "sodium_chloride", "sodium chloride", "Salt (sodium chloride)"):
        assert read_as(FACTS, name) == ""
    assert read_as(FACTS, "NaCl") == "NaCl: read as salt (sodium chloride)."
    assert read_as(FACTS, "copper") == read_as(FACTS, "moon dust") == ""


# Steps of a course -----------------------------------------------------------------------------

STEPS = (
    SaltTo(10, "main", 2.0),
    Dose(10, "main", "malachite_green", 0.1),
    WaterChange(12, "main", 40.0),
)


@pytest.mark.parametrize(
    ("words", "place"),
    [
        (["action=dose", "agent=NaCl"], 0), (["action=dose", "agent=Kochsalz"], 0),
        (["action=put in NaCl"], 0), (["action=salt"], 0), (["action=cooking salt"], 0),
        (["action=dose", "agent=Malachitgrün"], 1), (["action=dose"], 1),
        (["action=medicine"], 1), (["action=dose", "agent=white spot liquid"], 1),
        (["action=dose", "agent=formol"], None), (["action=Malachit-Grün"], 1),
        (["action=water change"], 2),
    ],
)  # fmt: skip
def test_a_step_is_told_of_by_any_name_of_its_substance(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], place: int | None
) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-06-16T18:00+00:00")
    file = tmp_path / "c.jsonl"
    new_case(file, Opening("Rook Yard", "D. Amsel", "fresh", "UTC", "2026-06-15"), by="me")
    chosen = {
        "kind": "course_chosen",
        "occurred_at": "2026-06-15T00:00+00:00",
        "name": "salt",
        "starts_at": "2026-06-15T00:00+00:00",
        "course": encode_course(Course("salt", 5, STEPS), {}),
    }
    add_fields(file, [chosen], by="me")
    add_words(file, "not_done", [*words, "on=2026-06-15T11:00", "reason=away"], by="me")
    (course,) = followed_steps(read_case(file).view(), FACTS)
    answered = {place for place, step in enumerate(course.steps) if step.entries}
    assert answered == (set() if place is None else {place})


def test_a_name_is_kept_as_it_was_told() -> None:
    entry = ActionDone(
        id=2, recorded_at="2026-06-15T12:00:00Z", by="me", occurred_at="2026-06-15T11:00+00:00",
        action="dose", state="done", agent="Malachitgrün, 1 %",
    )  # fmt: skip
    assert entry.agent == "Malachitgrün, 1 %"


# Law --------------------------------------------------------------------------------------------


def test_a_rule_of_a_substance_holds_for_what_brings_the_same_active() -> None:
    salt_of_copper = law_lines(FACTS, "copper_sulphate", "GB")
    (rule,) = law_lines(FACTS, "copper_ionic", "GB")
    assert rule == salt_of_copper[0].replace("Law (", "Law of copper sulphate (")
    mixture = " ".join(law_lines(FACTS, "formalin_malachite_green", "GB"))
    assert "Law of formalin (UK" in mixture
    assert "Law of malachite green (UK" in mixture
    assert not any("green" in line for line in law_lines(FACTS, "formalin", "DE"))


def test_a_rule_of_a_mixture_is_no_rule_of_one_of_its_parts() -> None:
    """The rule for the mixture of the European Union speaks of the dye in it."""
    formalin = FACTS.agents["formalin"]
    silent = {short: claims for short, claims in formalin.claims.items() if short != "law.eu"}
    agents = {**FACTS.agents, "formalin": replace(formalin, claims=silent)}
    facts = replace(FACTS, agents=agents)
    (line,) = law_lines(facts, "formalin", "FR")
    assert line.startswith("Law (FR): no rule for formalin is on file")


def test_an_amount_asked_for_by_another_name_carries_the_law_of_the_agent() -> None:
    salt = DoseRequest(
        agent="salt", strength="2 g/L", volume="100 L", second_volume="100 L", label="pure",
        scale="1 g", animals=("goldfish",), country="USA",
    )  # fmt: skip
    named = work_out(replace(salt, agent="Kochsalz"))
    assert named.law == work_out(salt).law
    assert any("Low regulatory priority" in str(rule.value) for rule in named.law)
