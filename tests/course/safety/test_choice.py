"""Which agents may be chosen, for whom, how strong, and by whose hands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

import pytest

from tankside.claims import Claim, Confidence, Knowledge, Provenance
from tankside.course import (
    BodyKind,
    Caution,
    Course,
    CourseRun,
    FilterState,
    InWater,
    LabelEntry,
    Level,
    StockGroup,
    StrengthBasis,
    System,
    Tool,
    ToolUnit,
    Volume,
    run,
)
from tankside.course.actions import Bath, Dose, MedicatedFeed, WaterChange
from tankside.course.actions.action import Action
from tankside.library import load

LIBRARY = load()
REASON = "Prescribed by the vet on 3 March"


def tank(
    volume: Volume | None = None,
    kind: BodyKind = BodyKind.MAIN,
    name: str = "main",
    water: str = "fresh",
) -> System:
    return System(
        name, name, kind, volume or Volume(100, 100, 100, "x"), water=water, temperature_c=20.0,
        ph=7.2, alkalinity_mg_l_caco3=120.0, oxygen_mg_l=8.5, oxygen_dawn_mg_l=8.0,
        total_ammonia_mg_l_n=0.05, nitrite_mg_l_n=0.01, surface_area_m2=0.5, carbon_in=False,
        uv_on=False, filter_state=FilterState.RIPE, plants=False, invertebrates=False,
        food_fish=False,
    )  # fmt: skip


def fish(host: str = "carassius_auratus") -> StockGroup:
    return StockGroup(host, host, host, 4, 8.0, None, "main", "adult", False)


def pure(agent: str, form: str | None = None, factor: str = "1") -> LabelEntry:
    basis = LIBRARY.agents[agent].basis
    return LabelEntry(
        agent, Decimal(1), StrengthBasis.PURE, form or basis, Decimal(factor), None,
        Tool(ToolUnit.MILLIGRAM, Decimal("0.1")),
    )  # fmt: skip


def go(
    *steps: Action,
    stock: list[StockGroup] | None = None,
    systems: list[System] | None = None,
    facts: Knowledge = LIBRARY,
    label: LabelEntry | None = None,
    days: int = 4,
) -> CourseRun:
    labels = {} if label is None else {label.agent: label}
    return run(
        systems or [tank()], [fish()] if stock is None else stock, Course("c", days, steps), facts,
        labels,
    )  # fmt: skip


def cautions_of(result: CourseRun, code: str, level: Level | None = None) -> list[Caution]:
    return [c for c in result.safety if c.code == code and level in (None, c.level)]


# hosts and agents -------------------------------------------------------------------------------


def classless(agent: str) -> Knowledge:
    agents = {**LIBRARY.agents, agent: replace(LIBRARY.agents[agent], host_class="")}
    return Knowledge(LIBRARY.facts, LIBRARY.sources, agents=agents, hosts=LIBRARY.hosts)


def test_an_agent_of_no_host_class_is_not_known_for_every_animal_never_tolerated() -> None:
    result = go(Dose(8, "main", "methylene_blue", 1.0), facts=classless("methylene_blue"))
    cautions = cautions_of(result, "E-DOSE-26", Level.CARE)
    assert any("not known for carassius_auratus" in c.words for c in cautions)


def test_an_agent_whose_own_file_spares_the_fish_needs_no_class() -> None:
    result = go(Dose(8, "main", "sodium_thiosulphate", 10.0))
    assert not any("carassius" in c.words for c in cautions_of(result, "E-DOSE-26"))


@pytest.mark.parametrize(
    ("formalin", "malachite", "level"),
    [
        ("avoid", "tolerant", Level.BLOCKED),
        ("tolerant", "avoid", Level.BLOCKED),
        ("tolerant", "tolerant", None),
        ("care", "tolerant", Level.CARE),
        (None, "tolerant", Level.CARE),
    ],
)
def test_a_combination_is_judged_on_both_actives_and_the_worst_wins(
    formalin: str | None, malachite: str, level: Level | None
) -> None:
    host = LIBRARY.hosts["carassius_auratus"]
    claims = {k: v for k, v in host.claims.items() if not k.startswith("tolerance.")}
    for name, value in (("formalin", formalin), ("malachite", malachite)):
        if value is not None:
            key = f"host.{host.id}.tolerance.{name}"
            claim = Claim(key, value, "", Provenance.ESTIMATE, Confidence.LOW, source="test")
            claims[f"tolerance.{name}"] = (claim,)
    hosts = {host.id: replace(host, claims=claims)}
    facts = Knowledge(LIBRARY.facts, LIBRARY.sources, agents=LIBRARY.agents, hosts=hosts)
    result = go(Dose(8, "main", "formalin_malachite_green", 15.0), facts=facts)
    levels = [c.level for c in cautions_of(result, "E-DOSE-26") if "carassius" in c.words]
    assert levels == ([] if level is None else [level])


# may it be chosen at all ------------------------------------------------------------------------


@pytest.mark.parametrize("agent", ["trichlorfon", "toltrazuril", "oxytetracycline", "hypochlorite"])
def test_an_agent_that_is_not_offered_is_refused_with_the_reason_of_its_file(agent: str) -> None:
    result = go(Dose(8, "main", agent, 0.1), label=pure(agent))
    refused = cautions_of(result, "E-DOSE-27", Level.BLOCKED)
    assert len(refused) == 1
    claim = LIBRARY.agents[agent].find("not_offered")
    assert claim is None or str(claim.value) in refused[0].why
    assert refused[0].what_instead
    assert not result.amounts


def test_what_is_no_substance_cannot_be_weighed_into_water() -> None:
    """Heat has limits too, in degrees: they must never be read as mg/L."""
    result = go(Dose(8, "main", "heat", 20.0), label=pure("heat"))
    assert cautions_of(result, "E-DOSE-27", Level.BLOCKED)
    assert not result.amounts


def test_an_agent_not_offered_is_refused_as_bath_and_as_feed_too() -> None:
    bath = tank(Volume(20, 20, 20, "x"), BodyKind.BATH, "bath")
    dip = Bath(8, "main", "carassius_auratus", "bath", "toltrazuril", 10.0, 10.0)
    feed = MedicatedFeed(8, "main", "carassius_auratus", "oxytetracycline", 60.0)
    assert cautions_of(go(dip, systems=[tank(), bath]), "E-DOSE-27", Level.BLOCKED)
    assert cautions_of(go(feed), "E-DOSE-27", Level.BLOCKED)


def test_a_hazard_with_an_empty_field_gives_no_amount_and_names_the_field() -> None:
    gone = "agent.malachite_green.people.splash"
    facts = Knowledge(
        {key: value for key, value in LIBRARY.facts.items() if key != gone},
        LIBRARY.sources, agents=LIBRARY.agents, hosts=LIBRARY.hosts,
    )  # fmt: skip
    result = go(
        Dose(8, "main", "malachite_green", 0.05), facts=facts, label=pure("malachite_green")
    )
    assert any("splash" in c.words for c in cautions_of(result, "S-PEOPLE", Level.BLOCKED))
    assert not result.amounts


# soft limits ------------------------------------------------------------------------------------


def salt(mg_l: float, reason: str = "", volume: Volume | None = None) -> CourseRun:
    step = Dose(8, "main", "sodium_chloride", mg_l, reason=reason)
    return go(step, systems=[tank(volume)], label=pure("sodium_chloride"))


def test_passing_a_soft_limit_without_a_reason_is_stopped() -> None:
    for reason in ("", "because", " " * 12):
        result = salt(3500.0, reason)
        assert cautions_of(result, "E-DOSE-11", Level.BLOCKED)
        assert not result.amounts


def test_passing_a_soft_limit_with_a_typed_reason_is_shown_and_the_reason_kept() -> None:
    result = salt(3500.0, REASON)
    assert not cautions_of(result, "E-DOSE-11", Level.BLOCKED)
    assert [a.reason for a in result.amounts] == [REASON]
    assert any(REASON in c.why for c in cautions_of(result, "E-DOSE-11", Level.CARE))


def test_exactly_at_the_soft_limit_needs_no_reason() -> None:
    result = salt(3000.0)
    assert not cautions_of(result, "E-DOSE-11")
    assert [a.reason for a in result.amounts] == [""]


def test_no_reason_opens_a_hard_limit() -> None:
    result = salt(5001.0, REASON)
    assert cautions_of(result, "E-DOSE-10", Level.BLOCKED)
    assert not result.amounts


def test_a_dose_at_its_usual_strength_is_no_alarm_however_the_water_was_measured() -> None:
    """Every volume has an error: the usual range is held at the point volume, the hard limit in
    the smallest that fits."""
    result = salt(3000.0, volume=Volume(100, 95, 105, "two methods"))
    assert not cautions_of(result, "E-DOSE-11")
    assert result.amounts
    hard = salt(4800.0, REASON, volume=Volume(100, 95, 105, "two methods"))
    assert cautions_of(hard, "E-DOSE-10", Level.BLOCKED)


def test_what_is_put_back_after_a_change_keeps_the_reason_of_the_dose() -> None:
    steps = (
        Dose(8, "main", "sodium_chloride", 3500.0, reason=REASON), WaterChange(30, "main", 20.0)
    )  # fmt: skip
    result = go(*steps, label=pure("sodium_chloride"))
    assert [a.reason for a in result.amounts] == [REASON, REASON]


def test_a_bath_above_its_soft_limit_takes_a_reason_too() -> None:
    """Bronopol: 15 to 50 mg/L is printed, above 20 only with a reason."""
    bath = tank(Volume(20, 20, 20, "x"), BodyKind.BATH, "bath")

    def dip(reason: str) -> CourseRun:
        step = Bath(8, "main", "carassius_auratus", "bath", "bronopol", 50.0, 30.0, reason=reason)
        return go(step, systems=[tank(), bath], label=pure("bronopol"))

    assert cautions_of(dip(""), "E-DOSE-11", Level.BLOCKED)
    assert not dip("").amounts
    assert [a.reason for a in dip(REASON).amounts] == [REASON]


# hard limits: amount and residue ----------------------------------------------------------------


@pytest.mark.parametrize("labelled", [True, False])
def test_an_amount_above_the_hard_limit_only_in_the_smaller_volume_is_refused(
    labelled: bool,
) -> None:
    narrow = tank(Volume(100, 94, 105, "x"))
    label = pure("malachite_green") if labelled else None
    dose = Dose(8, "main", "malachite_green", 0.19, reason=REASON)
    assert cautions_of(go(dose, systems=[narrow], label=label), "E-DOSE-10", Level.BLOCKED)
    exact = go(dose, systems=[tank()], label=label)
    assert not cautions_of(exact, "E-DOSE-10")


def thrice(strength: float, volume: Volume, there: tuple[InWater, ...] = ()) -> CourseRun:
    """Three doses a day apart of what nobody knows the loss of; its hard limit is 13.2 mg/L."""
    assert LIBRARY.number("agent.metronidazole.hard_max.prolonged") == 13.2
    steps = [Dose(h, "main", "metronidazole", strength) for h in (8, 32, 56)]
    return go(*steps, systems=[replace(tank(volume), residues=there)])


def test_doses_that_add_up_above_the_hard_limit_in_the_smallest_volume_are_refused() -> None:
    """12.3 at the point volume, 13.67 in the smallest that fits: the third amount is refused."""
    result = thrice(4.1, Volume(100, 90, 105, "x"))
    refused = cautions_of(result, "E-DOSE-10", Level.BLOCKED)
    assert [caution.action for caution in refused] == [2, None]
    assert "13.67" in refused[-1].why
    assert "measure the volume a second way" in refused[-1].what_instead
    assert not cautions_of(thrice(4.1, Volume(100, 100, 105, "x")), "E-DOSE-10")


def test_what_may_be_there_holds_the_limit_at_its_high_edge_in_account_and_course() -> None:
    """0 to 12 mg/L may be there: the amount and the hours are both held with the whole 12."""
    maybe = (InWater("metronidazole", 0.0, 12.0),)
    refused = cautions_of(
        thrice(2.0, Volume(100, 100, 105, "x"), maybe), "E-DOSE-10", Level.BLOCKED
    )
    assert [caution.action for caution in refused] == [0, None]
    assert "18" in refused[-1].why
    assert not cautions_of(thrice(2.0, Volume(100, 100, 105, "x")), "E-DOSE-10")


# people -----------------------------------------------------------------------------------------


def test_a_large_amount_of_a_hazardous_substance_needs_a_trained_person() -> None:
    """The limit of handling is an estimate and says so."""
    claim = LIBRARY.claim("practice.course.handling_limit.high")
    assert claim.provenance is Provenance.ESTIMATE
    pond = tank(Volume(40_000, 40_000, 40_000, "x"))
    dose = Dose(8, "main", "formalin", 15.0)
    large = cautions_of(go(dose, systems=[pond]), "S-HANDLING", Level.CARE)
    assert len(large) == 1
    assert "trained person" in large[0].words
    assert "estimate" in large[0].why
    assert not cautions_of(go(dose), "S-HANDLING")
    salted = Dose(8, "main", "sodium_chloride", 1000.0)
    assert not cautions_of(go(salted, systems=[pond]), "S-HANDLING")


# the container ----------------------------------------------------------------------------------


def pairs() -> Iterator[tuple[str, str, str, str]]:
    """Every two forms of one agent that hold different masses of its basis."""
    for agent in LIBRARY.agents.values():
        forms = {
            claims[0].conditions.get("form", ""): str(claims[0].number())
            for short, claims in agent.claims.items()
            if short.startswith("form.") and claims[0].known
        }
        for form, factor in forms.items():
            for other, its in forms.items():
                if factor != its:
                    yield agent.id, form, other, its


@pytest.mark.parametrize(("agent", "form", "other", "factor"), list(pairs()))
def test_a_form_with_the_factor_of_another_form_is_stopped(
    agent: str, form: str, other: str, factor: str
) -> None:
    del other
    sea = LIBRARY.find(f"agent.{agent}.needs.marine") is not None
    water = tank(water="marine" if sea else "fresh")
    result = go(Dose(8, "main", agent, 0.1), systems=[water], label=pure(agent, form, factor))
    assert cautions_of(result, "E-PROD-01", Level.BLOCKED)
    assert not result.amounts


@pytest.mark.parametrize(
    ("agent", "other"),
    [
        ("copper_ionic", "copper_sulphate"), ("copper_sulphate", "copper_ionic"),
        ("formalin", "formalin_malachite_green"), ("malachite_green", "formalin_malachite_green"),
    ],
)  # fmt: skip
def test_the_container_of_another_agent_with_the_same_active_is_stopped(
    agent: str, other: str
) -> None:
    result = run(
        [tank()], [fish()], Course("c", 2, (Dose(8, "main", agent, 0.05),)), LIBRARY,
        {agent: pure(other)},
    )  # fmt: skip
    assert cautions_of(result, "E-PROD-01", Level.BLOCKED)
    assert not result.amounts


def test_where_forms_differ_the_amount_says_which_form_it_is_for() -> None:
    """A form named on the label is read back beside the amount; one taken for granted is asked."""
    forms = LIBRARY.agents["chloroquine"].claims["form.base"][0]
    label = pure("chloroquine", forms.conditions["form"], str(forms.number()))
    sea = [tank(water="marine")]
    named = go(Dose(8, "main", "chloroquine", 5.0), systems=sea, label=label)
    assert "mg/L if it is chloroquine diphosphate, not" in named.amounts[0].read_back
    assert not cautions_of(named, "E-PROD-04")
    assumed = go(
        Dose(8, "main", "chloroquine", 5.0), systems=sea, label=replace(label, form_named=False)
    )
    (caution,) = cautions_of(assumed, "E-PROD-04", Level.CARE)
    assert caution.why == named.amounts[0].read_back
    salted = go(Dose(8, "main", "sodium_chloride", 1000.0), label=pure("sodium_chloride"))
    assert salted.amounts[0].read_back == ""
    assert not cautions_of(salted, "E-PROD-04")


def test_a_dose_that_never_reaches_its_useful_strength_is_told() -> None:
    """0.05 to 0.1 mg/L is the printed range of malachite green: a fifth of it is a slip."""
    weak = go(Dose(8, "main", "malachite_green", 0.02))
    assert cautions_of(weak, "E-DOSE-13", Level.CARE)
    assert not cautions_of(go(Dose(8, "main", "malachite_green", 0.05)), "E-DOSE-13")
