"""Who bears what, who may be eaten and how much one person handles, on an invented set of facts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from types import MappingProxyType
from typing import Any

import pytest

from tankside.claims import Claim, Confidence, Host, Knowledge, Provenance
from tankside.course import Caution, Course, LabelEntry, Level, StockGroup, System, Volume, run
from tankside.course.actions import Dose
from tankside.course.amounts.choice import FIELDS

COPPER, GREEN, SALT = "copper_sulphate", "malachite_green", "sodium_chloride"
DOSE = Dose(8, "main", COPPER, 0.15)
SNAIL, SHRIMP = "freshwater snail", "shrimp"


def having(tank: System, name: str, value: Any) -> System:
    """Return the tank with one thing told otherwise."""
    return replace(tank, **{name: value})


def host(name: str, group: str = "tetra", **verdicts: str) -> Host:
    claims = {
        f"tolerance.{short}": (
            Claim(f"host.{name}.tolerance.{short}", value, "", Provenance.ESTIMATE, Confidence.LOW,
                  conditions={"as_printed": f"{value} of {short}"}, source="a leaflet"),
        )
        for short, value in verdicts.items()
    }  # fmt: skip
    if group in (SNAIL, SHRIMP):
        claims["body_shape"] = (
            Claim(
                f"host.{name}.body_shape", "not_applicable", "", Provenance.MEMORY, Confidence.LOW
            ),
        )
    return Host(name, name, name, group, "fresh", MappingProxyType(claims))


@pytest.fixture
def tank(elm_road: System) -> System:
    return replace(elm_road, volume=Volume(100, 100, 100, "two methods"), plants=False,
                   invertebrates=False, food_fish=False)  # fmt: skip


@pytest.fixture
def facts(know: Callable[..., Knowledge]) -> Knowledge:
    """Return facts in which copper is a metal and four kinds of fish bear metals differently."""
    base = know(**{f"agent__{COPPER}__effect__filter": "spared"})
    agents = dict(base.agents)
    agents[COPPER] = replace(agents[COPPER], host_class="metal")
    hosts = [host("hardy", metal="tolerant"), host("touchy", metal="care"),
             host("frail", metal="avoid"), host("blank", "loach"), host("snail", SNAIL),
             host("weed", "stem plant", metal="tolerant")]  # fmt: skip
    return replace(base, agents=agents, hosts={host_file.id: host_file for host_file in hosts})


def group(kind: str | None, body: str = "main") -> StockGroup:
    name = kind or "stranger"
    return StockGroup(name, kind, name, 3, 5.0, None, body, "adult", False)


def cautions_of(
    tank: System,
    facts: Knowledge,
    *steps: Dose,
    stock: list[StockGroup],
    codes: tuple[str, ...] = ("E-DOSE-26", "E-DOSE-20"),
) -> list[Caution]:
    result = run([tank], stock, Course("c", 5, steps), facts)
    return [
        caution for caution in result.safety if caution.code in codes and caution.action is None
    ]


def test_fish_that_bear_an_agent_are_not_mentioned(tank: System, facts: Knowledge) -> None:
    assert cautions_of(tank, facts, DOSE, stock=[group("hardy")]) == []


@pytest.mark.parametrize(
    ("kind", "level", "words", "why", "claim"),
    [
        ("frail", Level.BLOCKED, "Blue copper crystals is not for frail.",
         "frail: avoid of metal (a leaflet).", "host.frail.tolerance.metal"),
        ("touchy", Level.CARE, "Blue copper crystals: care with touchy.",
         "touchy: care of metal (a leaflet).", "host.touchy.tolerance.metal"),
        ("blank", Level.CARE, "Blue copper crystals: not known for blank.",
         "No figure was found; not known does not mean safe.", "host.blank.tolerance.metal"),
    ],
)  # fmt: skip
def test_each_verdict_is_said_of_its_animals(
    tank: System, facts: Knowledge, kind: str, level: Level, words: str, why: str, claim: str
) -> None:
    (caution,) = cautions_of(tank, facts, DOSE, stock=[group("hardy"), group(kind)])
    assert (caution.level, caution.code, caution.words, caution.why) == (
        level,
        "E-DOSE-26",
        words,
        why,
    )
    assert (caution.claim_key, caution.body, caution.group, caution.agent) == (
        claim,
        "main",
        kind,
        COPPER,
    )


def test_two_groups_that_need_care_are_named_together(tank: System, facts: Knowledge) -> None:
    also = replace(group("touchy"), id="second", name="second")
    (caution,) = cautions_of(tank, facts, DOSE, stock=[group("touchy"), also])
    assert caution.words.endswith("care with touchy, second.")
    assert caution.group == ""
    assert caution.why == "touchy: care of metal (a leaflet); second: care of metal (a leaflet)."


def test_frail_animals_are_each_told_to_move_out(tank: System, facts: Knowledge) -> None:
    also = replace(group("frail"), id="second", name="second")
    both = cautions_of(tank, facts, DOSE, stock=[group("frail"), also])
    assert [caution.group for caution in both] == ["frail", "second"]
    assert both[1].what_instead == "Move second out first, or choose another way."


def test_an_unknown_species_stops_all_but_salt(tank: System, facts: Knowledge) -> None:
    (caution,) = cautions_of(tank, facts, DOSE, stock=[group(None)])
    assert (caution.level, caution.code, caution.body, caution.agent) == (
        Level.BLOCKED, "E-DOSE-20", "main", COPPER)  # fmt: skip
    assert caution.words == "Species not known: stranger. blue copper crystals needs it."
    salt = Dose(8, "main", SALT, 1000.0)
    (care,) = [
        c for c in cautions_of(tank, facts, salt, stock=[group(None)]) if "Species" in c.words
    ]
    assert (care.level, care.agent) == (Level.CARE, SALT)


def test_an_agent_that_spares_all_hosts_is_not_judged_by_species(
    tank: System, facts: Knowledge
) -> None:
    agents = dict(facts.agents)
    spared = Claim(f"agent.{COPPER}.effect.hosts", "spared", "", Provenance.ESTIMATE,
                   Confidence.LOW)  # fmt: skip
    agents[COPPER] = replace(
        agents[COPPER], claims={**agents[COPPER].claims, "effect.hosts": (spared,)}
    )
    kind = replace(facts, agents=agents)
    assert cautions_of(tank, kind, DOSE, stock=[group("frail"), group(None)]) == []


def test_a_mixture_is_judged_by_each_active_the_worst_first(tank: System, facts: Knowledge) -> None:
    agents = dict(facts.agents)
    agents[GREEN] = replace(agents[GREEN], actives=(GREEN, COPPER), host_class="dye")
    mixed = replace(facts, agents=agents)
    dose = Dose(8, "main", GREEN, 0.1)
    (frail,) = cautions_of(tank, mixed, dose, stock=[group("frail")])
    assert (frail.level, frail.claim_key) == (Level.BLOCKED, "host.frail.tolerance.metal")
    (hardy,) = cautions_of(tank, mixed, dose, stock=[group("hardy")])
    assert (hardy.level, "not known for hardy" in hardy.words) == (Level.CARE, True)


def test_a_tank_with_nobody_entered_is_not_dosed(tank: System, facts: Knowledge) -> None:
    (caution,) = cautions_of(tank, facts, DOSE, stock=[])
    assert (caution.level, caution.code, caution.body, caution.agent) == (
        Level.BLOCKED, "E-DOSE-20", "main", COPPER)  # fmt: skip
    assert caution.words == "No animals are entered for the tank."
    assert cautions_of(tank, facts, stock=[]) == []


@pytest.mark.parametrize("what", ["invertebrates", "plants"])
def test_invertebrates_and_plants_are_asked_for_and_judged(
    tank: System, facts: Knowledge, know: Callable[..., Knowledge], what: str
) -> None:
    key = f"agent.{COPPER}.effect.{what}"
    spares = {f"agent__{COPPER}__effect__filter": "spared"}
    hurts = replace(know(**{key.replace(".", "__"): "lost"}, **spares), hosts=facts.hosts)
    hurts = replace(hurts, agents={**hurts.agents, COPPER: replace(
        hurts.agents[COPPER], host_class="metal")})  # fmt: skip
    stock = [group("hardy")]
    (there,) = cautions_of(having(tank, what, True), hurts, DOSE, stock=stock)
    strict = what == "invertebrates"
    assert (there.level, there.code) == (Level.BLOCKED if strict else Level.CARE, "E-DOSE-26")
    assert (there.claim_key, there.body, there.agent) == (key, "main", COPPER)
    (asks,) = cautions_of(having(tank, what, None), hurts, DOSE, stock=stock)
    assert (asks.level, asks.code, asks.claim_key) == (Level.CARE, "E-DOSE-20", key)
    assert asks.words == f"Are there {what} in the tank? blue copper crystals hurts them."
    assert cautions_of(tank, hurts, DOSE, stock=stock) == []
    (unknown,) = cautions_of(having(tank, what, True), facts, DOSE, stock=stock)
    assert (unknown.level, unknown.words) == (
        Level.CARE, f"Blue copper crystals: not known for the {what}.")  # fmt: skip
    assert unknown.why == "No figure was found; not known does not mean safe."
    assert cautions_of(having(tank, what, None), facts, DOSE, stock=stock) == []


def with_effect(
    facts: Knowledge, know: Callable[..., Knowledge], what: str, effect: str, **kinds: Host
) -> Knowledge:
    """Return the facts with an effect of copper on a class of life, and more kinds."""
    key = f"agent.{COPPER}.effect.{what}"
    more = know(**{key.replace(".", "__"): effect}).facts[key]
    agent = facts.agents[COPPER]
    agent = replace(agent, claims={**agent.claims, f"effect.{what}": more})
    return replace(facts, facts={**facts.facts, key: more}, hosts={**facts.hosts, **kinds},
                   agents={**facts.agents, COPPER: agent})  # fmt: skip


@pytest.mark.parametrize("said", [True, False, None])
@pytest.mark.parametrize("verdict", ["tolerant", "care", "avoid", None])
def test_naming_an_invertebrate_never_lifts_what_stands_against_its_class(
    tank: System,
    facts: Knowledge,
    know: Callable[..., Knowledge],
    said: bool | None,
    verdict: str | None,
) -> None:
    """The class is lost: a kind that bears it, or of which nothing is known, is stopped too."""
    kind = host("hermit", SNAIL, **({} if verdict is None else {"metal": verdict}))
    lost = with_effect(facts, know, "invertebrates", "lost", hermit=kind)
    stock = [group("hardy"), group("hermit")]
    (named,) = cautions_of(replace(tank, invertebrates=said), lost, DOSE, stock=stock)
    assert (named.level, named.group) == (Level.BLOCKED, "hermit")
    assert named.claim_key == (
        "host.hermit.tolerance.metal" if verdict == "avoid"
        else f"agent.{COPPER}.effect.invertebrates"
    )  # fmt: skip


def test_plants_named_or_not_are_told_of_and_a_kind_to_be_kept_from_it_stops(
    tank: System, facts: Knowledge, know: Callable[..., Knowledge]
) -> None:
    harmed = with_effect(facts, know, "plants", "harmed", fern=host("fern", "plant", metal="avoid"))
    weed = replace(group("weed"), host_id="weed")
    stock = [group("hardy")]
    (care,) = cautions_of(tank, harmed, DOSE, stock=[*stock, weed])
    assert (care.level, care.group) == (Level.CARE, "weed")
    (stop,) = cautions_of(tank, harmed, DOSE, stock=[*stock, group("fern")])
    assert (stop.level, stop.claim_key) == (Level.BLOCKED, "host.fern.tolerance.metal")
    assert cautions_of(tank, facts, DOSE, stock=[*stock, weed]) == []


def test_what_is_not_known_of_a_kind_is_read_from_its_relatives_toward_caution_only(
    tank: System, facts: Knowledge
) -> None:
    kin = replace(facts, hosts={**facts.hosts, "cousin": host("cousin"),
                                "mild": host("mild", "barb", metal="tolerant"),
                                "milder": host("milder", "barb")})  # fmt: skip
    (stop,) = cautions_of(tank, kin, DOSE, stock=[group("cousin")])
    assert (stop.level, stop.claim_key) == (Level.BLOCKED, "host.frail.tolerance.metal")
    assert stop.why == (
        "cousin: nothing of its own; of its relative frail: avoid of metal (a leaflet)."
    )
    (care,) = cautions_of(tank, kin, DOSE, stock=[group("milder")])
    assert (care.level, "not known for milder" in care.words) == (Level.CARE, True)


def test_a_class_told_without_kinds_is_stopped_where_every_kind_on_file_is(
    tank: System, facts: Knowledge
) -> None:
    there = replace(tank, invertebrates=True)
    stock = [group("hardy")]
    only = {name: kind for name, kind in facts.hosts.items() if name != "snail"}
    shrimps = {"red": host("red", SHRIMP, metal="avoid"), "blue": host("blue", SHRIMP,
               metal="avoid")}  # fmt: skip
    (stop,) = cautions_of(there, replace(facts, hosts={**only, **shrimps}), DOSE, stock=stock)
    assert stop.level is Level.BLOCKED
    assert stop.words == "Blue copper crystals kills shrimps, snails and other invertebrates."
    one_unknown = {**only, **shrimps, "snail": host("snail", SNAIL)}
    (care,) = cautions_of(there, replace(facts, hosts=one_unknown), DOSE, stock=stock)
    assert care.level is Level.CARE


@pytest.mark.parametrize("what", ["invertebrates", "plants"])
def test_what_the_file_of_an_agent_notes_of_them_is_the_reason(
    tank: System, facts: Knowledge, know: Callable[..., Knowledge], what: str
) -> None:
    key = f"agent.{COPPER}.effect.{what}"
    lost = know(**{key.replace(".", "__"): "lost"}).facts[key][0]
    noted = replace(facts, facts={**facts.facts, key: (replace(lost, note="half died in a day"),)})
    (caution,) = cautions_of(having(tank, what, True), noted, DOSE, stock=[group("hardy")])
    assert caution.why == "Half died in a day (test figure)."


def test_what_spares_invertebrates_says_nothing_of_them(
    tank: System, facts: Knowledge, know: Callable[..., Knowledge]
) -> None:
    key = f"agent.{COPPER}.effect.invertebrates"
    spared = replace(facts, facts={**facts.facts, key: know(**{key.replace(".", "__"): "spared"}
                                                            ).facts[key]})  # fmt: skip
    there = replace(tank, invertebrates=True)
    assert cautions_of(there, spared, DOSE, stock=[group("hardy")]) == []
    assert cautions_of(there, facts, stock=[group("hardy")]) == []


# Food and handling ----------------------------------------------------------------------------


def food(
    tank: System,
    facts: Knowledge,
    stock: list[StockGroup],
    code: str = "S-FOOD",
    mg_l: float = 0.15,
) -> list[Caution]:
    return cautions_of(tank, facts, Dose(8, "main", COPPER, mg_l), stock=stock, codes=(code,))


def test_a_waiting_time_that_nobody_printed_stops_animals_that_are_eaten(
    tank: System, facts: Knowledge, know: Callable[..., Knowledge]
) -> None:
    key = f"agent.{COPPER}.withdrawal"
    stock = [group("hardy")]
    assert food(tank, facts, stock) == []
    (caution,) = food(replace(tank, food_fish=True), facts, stock)
    assert (caution.level, caution.agent, caution.claim_key) == (Level.BLOCKED, COPPER, key)
    assert caution.words.endswith("is not known.")
    maybe = replace(know(host__hardy__food_fish="sometimes"), hosts=facts.hosts)
    (asks,) = food(replace(tank, food_fish=None), maybe, stock)
    assert (asks.level, asks.agent, asks.claim_key) == (Level.CARE, COPPER, key)
    assert asks.words.endswith("is not known; hardy may be eaten.")
    second = replace(group("hardy"), id="second", name="second")
    (both,) = food(replace(tank, food_fish=None), maybe, [*stock, second, group("frail")])
    assert both.words.endswith("is not known; hardy, second may be eaten.")
    never = replace(know(host__hardy__food_fish="no"), hosts=facts.hosts)
    for base in (never, facts):
        assert food(replace(tank, food_fish=None), base, stock) == []
    assert food(tank, maybe, stock) == []
    assert food(replace(tank, food_fish=None), maybe, [group(None)]) == []
    printed = know(**{key.replace(".", "__"): 30.0})
    (note,) = food(replace(tank, food_fish=True), printed, stock)
    assert (note.level, note.agent, note.claim_key) == (Level.NOTE, COPPER, key)
    assert note.words == "Blue copper crystals: 30 days before eating ()."
    assert food(replace(tank, food_fish=None), replace(
        printed, facts={**printed.facts, **maybe.facts, key: printed.facts[key]},
        hosts=facts.hosts), stock) == []  # fmt: skip


def test_a_large_amount_of_a_hazardous_agent_needs_a_trained_person(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    facts = know(**{f"agent__{COPPER}__people__hazard": "high",
                    "practice__course__handling_limit__high": 10.0})  # fmt: skip
    stock = [group("hardy")]
    assert food(tank, facts, stock, "S-HANDLING", 100.0) == []
    (caution,) = food(tank, facts, stock, "S-HANDLING", 101.0)
    assert (caution.level, caution.agent, caution.claim_key) == (
        Level.CARE, COPPER, "practice.course.handling_limit.high")  # fmt: skip
    assert caution.why.startswith("10.1 g or mL in one step; above 10 a trained person")
    assert food(tank, know(), stock, "S-HANDLING", 101.0) == []


def test_what_is_handled_is_what_is_printed_in_whatever_unit(
    tank: System, know: Callable[..., Knowledge], labels: dict[str, LabelEntry]
) -> None:
    """Crystals hold 0.2545 of copper: 2 g of copper are 7.9 g of crystals, 3 g are 11.8 g."""
    people = {f"people__{field}": "told" for field in FIELDS}
    more = {"people__hazard": "high", "dose__prolonged": (0.15, None, 200.0), **people}
    facts = know(**{f"agent__{COPPER}__{short}": value for short, value in more.items()},
                 practice__course__handling_limit__high=10.0)  # fmt: skip

    def handled(mg_l: float) -> list[str]:
        step = Dose(8, "main", COPPER, mg_l)
        done = run([tank], [group("hardy")], Course("c", 5, (step,)), facts, labels)
        (printed,) = done.amounts
        assert printed.unit == "mg"
        return [caution.why for caution in done.safety if caution.code == "S-HANDLING"]

    assert handled(20.0) == []
    (why,) = handled(30.0)
    assert why.startswith("11.8 g or mL in one step; above 10 ")
