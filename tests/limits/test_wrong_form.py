"""P4: salts, hydrates, elements and solutions of one active substance taken for one another.

A container is never dosed on a form that nobody named where it could hold another one.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import combinations, permutations

import pytest

from tankside.claims import Agent, Knowledge
from tankside.course import Course, System, run
from tankside.course.actions import Dose
from tankside.course.amounts.limits import hard_limit
from tankside.errors import BadInput, Mistake
from tankside.intake.dose_request import DoseRequest
from tankside.intake.labels import read_labels
from tankside.library import load
from tankside.services.dose import work_out


def forms(agent: Agent) -> dict[str, float]:
    """Return the forms of an agent that a container may hold, with their content of the basis."""
    return {
        str(claims[0].conditions["form"]): claims[0].number()
        for short, claims in agent.claims.items()
        if short.startswith("form.") and claims[0].conditions.get("container") != "none"
    }


SUBSTANCES = [agent for agent in load().agents.values() if agent.kind == "substance"]
SEVERAL = [agent for agent in SUBSTANCES if any(factor != 1 for factor in forms(agent).values())]
SHARING = [
    (agent, partner)
    for agent, partner in combinations(SUBSTANCES, 2)
    if set(agent.actives) & set(partner.actives)
]
LABELS = ("pure", "50 % w/w", "37 % w/v", "10 % v/v", "10 g/L")


def by_id(value: object) -> str | None:
    return getattr(value, "id", None)


def test_the_agents_that_come_in_several_forms_are_many() -> None:
    assert {"copper_ionic", "copper_sulphate", "formalin", "malachite_green", "quinine"} <= {
        agent.id for agent in SEVERAL
    }
    assert {(first.id, second.id) for first, second in SHARING} >= {
        ("copper_ionic", "copper_sulphate"),
        ("formalin", "formalin_malachite_green"),
    }


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("agent", SEVERAL, ids=by_id)
def test_a_label_that_names_no_form_is_refused_where_there_are_several(
    facts: Knowledge, agent: Agent, label: str
) -> None:
    with pytest.raises(BadInput) as refused:
        read_labels(facts, [f"{agent.id}={label}"], "1 mg", "0.1 mL")
    assert refused.value.code == "E-PROD-01"
    assert all(form in refused.value.needed for form in forms(agent))


@pytest.mark.parametrize("agent", SEVERAL, ids=by_id)
def test_each_form_is_taken_for_what_it_holds(facts: Knowledge, agent: Agent) -> None:
    """Whichever form of the pair is named, the same strength takes its own amount."""
    for (labelled, holds), (needed, other) in permutations(forms(agent).items(), 2):
        first, second = (
            read_labels(facts, [f"{agent.id}=50 % w/w {form}"], "1 mg", None)[agent.id]
            for form in (labelled, needed)
        )
        ratio = first.active_per_form / second.active_per_form
        assert ratio == Decimal(str(holds)) / Decimal(str(other))


@pytest.mark.parametrize("agent", SUBSTANCES, ids=by_id)
def test_a_form_that_the_agent_does_not_know_is_refused(facts: Knowledge, agent: Agent) -> None:
    with pytest.raises(BadInput) as refused:
        read_labels(facts, [f"{agent.id}=50 % w/w as moon dust"], "1 mg", None)
    assert refused.value.code == "E-PROD-01"


@pytest.mark.parametrize(("first", "second"), SHARING, ids=by_id)
def test_the_form_of_another_agent_is_refused_or_gives_the_same_active(
    facts: Knowledge, first: Agent, second: Agent
) -> None:
    """Both directions: a label meant for the one typed for the other."""
    for agent, other in ((first, second), (second, first)):
        for form in forms(other):
            try:
                label = read_labels(facts, [f"{agent.id}=50 % w/w {form}"], "1 mg", None)[agent.id]
            except BadInput as refused:
                code = refused.code
            else:
                code = ""
                assert float(label.active_per_form) == forms(agent)[form]
            assert code in ("", "E-PROD-01")


@pytest.mark.parametrize("agent", SUBSTANCES, ids=by_id)
def test_as_product_is_no_strength_unless_the_agent_is_told_as_product(
    facts: Knowledge, agent: Agent
) -> None:
    typed = [f"{agent.id}=as product"]
    if "product" in agent.basis:
        assert read_labels(facts, typed, None, "0.1 mL")[agent.id].active_per_form == 1
        return
    with pytest.raises(BadInput) as refused:
        read_labels(facts, typed, None, "0.1 mL")
    assert refused.value.code == "E-PROD-01"


@pytest.mark.parametrize(("first", "second"), SHARING, ids=by_id)
def test_two_agents_with_one_active_never_meet(
    facts: Knowledge, water: System, first: Agent, second: Agent
) -> None:
    steps = tuple(
        Dose(hour, "main", agent.id, 0.2 if limit is None else limit.mg_l)
        for hour, agent in ((8, first), (32, second))
        for limit in (hard_limit(facts, agent.id, "prolonged"),)
    )
    course_run = run([water], [], Course("both", 5, steps), facts)
    assert "E-DOSE-22" in {caution.code for caution in course_run.blocked}


def copper(strength: str, label: str, agent: str = "copper_ionic") -> str:
    """Return the amount shown for 100 L of soft-free, well-described sea water, or the code."""
    ask = DoseRequest(
        agent=agent, strength=strength, volume="100 L", second_volume="100 L", label=label,
        scale="0.1 mg", fishless=True, reason="the form is on trial here",
        readings={"alkalinity_mg_l_caco3": "120 mg/L as CaCO3", "temperature_c": "25 C"},
        choices={"water": "marine", "invertebrates": "no", "plants": "no", "carbon": "no"},
    )  # fmt: skip
    try:
        return work_out(ask).amount.text.replace("\xa0", " ")
    except Mistake as refused:
        return refused.code


def test_copper_by_whichever_name_is_the_same_weight_of_crystals() -> None:
    """0.18 mg/L Cu in 100 L: 18 mg / 0.2545 = 70.7 mg of CuSO4.5H2O (63.546 / 249.68)."""
    crystals = "pure as CuSO4.5H2O"
    assert copper("0.18 mg/L as Cu", crystals) == "70.7 mg"
    assert copper("0.18 mg/L as Cu", crystals, "copper_sulphate") == "70.7 mg"


def test_a_strength_of_copper_without_its_basis_is_refused() -> None:
    for agent in ("copper_ionic", "copper_sulphate"):
        assert copper("0.18 mg/L", "pure as CuSO4.5H2O", agent) == "E-UNIT-03"


def test_a_strength_of_crystals_typed_as_copper_is_stopped() -> None:
    """0.7 mg/L of crystals is 0.18 mg/L of copper; typed as copper it is 3.9 times as much."""
    assert copper("0.7 mg/L as CuSO4.5H2O", "pure as CuSO4.5H2O") != "E-DOSE-10"
    assert copper("0.7 mg/L as Cu", "pure as CuSO4.5H2O") == "E-DOSE-10"


def test_a_solution_of_formaldehyde_is_never_taken_for_a_share_of_the_product(
    facts: Knowledge,
) -> None:
    """A bottle that says 37 % w/v is the product itself: read as 37 % of it, it would be dosed
    2.7 times too strong."""
    label = read_labels(facts, ["formalin=37 % w/v as formaldehyde"], None, "0.1 mL")["formalin"]
    assert float(label.strength * label.active_per_form) == pytest.approx(1, rel=0.001)
