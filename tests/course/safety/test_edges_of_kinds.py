"""Salt and warmth against each kind of animal, and agents that may not meet, on invented facts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from tankside.claims import Claim, Confidence, Host, Knowledge, Provenance
from tankside.course import (
    BodyKind,
    Caution,
    Course,
    Level,
    StockGroup,
    System,
    Volume,
    run,
)
from tankside.course.actions import Bath, Dose, Warm

from .test_edges_of_water import COPPER, GREEN, SALT, cautions_of, figures


@pytest.fixture
def tank(elm_road: System) -> System:
    return replace(elm_road, volume=Volume(100, 100, 100, "two methods"), oxygen_mg_l=None,
                   total_ammonia_mg_l_n=None, nitrite_mg_l_n=None)  # fmt: skip


def printed(name: str, **figures: Claim) -> Host:
    return Host(name, name, name, "tetra", "fresh", {k: (v,) for k, v in figures.items()})


def one_claim(
    key: str,
    value: float | str | None = None,
    low: float | None = None,
    high: float | None = None,
    **more: Any,
) -> Claim:
    return Claim(key, value, "", Provenance.ESTIMATE, Confidence.LOW, low, high, **more)


def of_kind(name: str, host_id: str | None) -> StockGroup:
    return StockGroup(name, host_id, name, 3, 20.0, None, "main", "adult", False)


@pytest.fixture
def kinds() -> dict[str, Host]:
    """Return hosts: half dead at 8 g/L, tried up to 3 g/L, nothing printed, and of 20 to 27 C."""
    key = "host.x.salt_tolerance"
    lethal = one_claim(key, 8.0, conditions={"as_printed": "LC50 8"}, source="a leaflet")
    warm = {"temperature_low": one_claim("l", 20.0), "temperature_high": one_claim("h", 27.0)}
    avoid = one_claim("host.soft.tolerance.heat", "avoid")
    hosts = [
        printed("frail", salt_tolerance=lethal),
        printed("tried", salt_tolerance=one_claim(key, None, 0.0, 3.0)),
        printed("blank"), printed("warm", **warm), printed("mild", **warm),
        printed("soft", **warm, **{"tolerance.heat": avoid}),
    ]  # fmt: skip
    return {host.id: host for host in hosts}


def salted(
    tank: System,
    know: Callable[..., Knowledge],
    kinds: dict[str, Host],
    mg_l: float,
    *names: str | None,
    dosed: bool = True,
) -> list[Caution]:
    facts = replace(figures(know, salt_share_of_lethal=0.25), hosts=kinds)
    stock = [of_kind(name or "stranger", name) for name in names]
    dose = [Dose(8, "main", SALT, mg_l)] if dosed else []
    return cautions_of(tank, facts, *dose, code="S-SALT-HOST", stock=stock)


def test_salt_up_to_a_share_of_what_kills_half_passes_and_more_is_told(
    tank: System, know: Callable[..., Knowledge], kinds: dict[str, Host]
) -> None:
    assert salted(tank, know, kinds, 1999.0, None, "blank", "frail", "tried") == []
    (caution,) = salted(tank, know, kinds, 2100.0, None, "blank", "frail", "tried")
    assert (caution.level, caution.body, caution.group, caution.agent) == (
        Level.BLOCKED,
        "main",
        "frail",
        SALT,
    )
    assert caution.claim_key == "host.x.salt_tolerance"
    assert caution.why == "Salt is up to 2.1 g/L; at most 2 g/L (8 g/L printed: LC50 8, a leaflet)."
    assert salted(tank, know, kinds, 2100.0, "frail", dosed=False) == []


def test_salt_up_to_the_end_of_what_was_tried_passes_and_more_is_told(
    tank: System, know: Callable[..., Knowledge], kinds: dict[str, Host]
) -> None:
    assert salted(tank, know, kinds, 2999.0, "tried") == []
    (caution,) = salted(tank, know, kinds, 3100.0, "blank", "tried")
    assert (caution.level, caution.group) == (Level.CARE, "tried")
    assert caution.why == "Salt is up to 3.1 g/L; at most 3 g/L (3 g/L printed: , no source)."
    both = salted(tank, know, kinds, 3100.0, "tried", "frail")
    assert [caution.group for caution in both] == ["frail", "tried"]


def test_salt_between_a_share_of_what_kills_half_and_what_killed_none_asks_for_care(
    tank: System, know: Callable[..., Knowledge], kinds: dict[str, Host]
) -> None:
    """Half die at 8 g/L and none up to 3: a quarter of 8 is told, more than 3 is stopped."""
    none_died = one_claim("host.frail.figure.salt_no_death", 3.0)
    claims = {**kinds["frail"].claims, "figure.salt_no_death": (none_died,)}
    judged = {**kinds, "frail": replace(kinds["frail"], claims=claims)}
    assert salted(tank, know, judged, 1999.0, "frail") == []
    (care,) = salted(tank, know, judged, 2100.0, "frail")
    assert (care.level, "none died up to 3 g/L (8 g/L printed" in care.why) == (Level.CARE, True)
    assert salted(tank, know, judged, 2999.0, "frail")[0].level is Level.CARE
    assert salted(tank, know, judged, 3001.0, "frail")[0].level is Level.BLOCKED


def test_a_salt_bath_names_the_animals_of_which_print_knows_only_days(
    tank: System, know: Callable[..., Knowledge], kinds: dict[str, Host]
) -> None:
    facts = replace(figures(know, salt_share_of_lethal=0.25), hosts=kinds)
    box = replace(tank, id="bath", kind=BodyKind.BATH)

    def bathed(mg_l: float, name: str, facts: Knowledge = facts) -> list[Caution]:
        bath = Bath(8, "main", name, "bath", SALT, mg_l, 10.0)
        course_run = run([tank, box], [of_kind(name, name)], Course("c", 2, (bath,)), facts)
        return [caution for caution in course_run.safety if caution.code == "S-SALT-HOST"]

    assert bathed(1999.0, "frail") == bathed(30000.0, "blank") == []
    (care,) = bathed(9000.0, "frail")
    assert (care.level, care.group, care.body) == (Level.CARE, "frail", "main")
    assert care.words == "No figure says how long frail bears so much salt."
    assert care.why == (
        "The bath holds 9\N{NO-BREAK SPACE}g/L; for days: at most 2 g/L (8 g/L printed: LC50 8, "
        "a leaflet); nothing is printed for minutes."
    )
    timed = one_claim("host.frail.most_bath.salt", None, 0.0, 10.0)
    claims = {**kinds["frail"].claims, "most_bath.salt": (timed,)}
    judged = {**kinds, "frail": replace(kinds["frail"], claims=claims)}
    assert bathed(9000.0, "frail", replace(facts, hosts=judged)) == []


def test_without_the_share_nothing_is_said_of_the_lethal_salt(
    tank: System, know: Callable[..., Knowledge], kinds: dict[str, Host]
) -> None:
    facts = replace(know(), hosts=kinds)
    stock = [of_kind("frail", "frail")]
    assert (
        cautions_of(tank, facts, Dose(8, "main", SALT, 9000.0), code="S-SALT-HOST", stock=stock)
        == []
    )


def warmed(
    tank: System,
    know: Callable[..., Knowledge],
    kinds: dict[str, Host],
    *steps: Warm,
    names: list[str] | tuple[str | None, ...],
    code: str,
) -> list[Caution]:
    stock = [of_kind(name or "stranger", name) for name in names]
    return cautions_of(tank, replace(know(), hosts=kinds), *steps, code=code, stock=stock, days=8)


def test_warmth_at_the_end_of_a_range_passes_and_beyond_it_is_told(
    tank: System, know: Callable[..., Knowledge], kinds: dict[str, Host]
) -> None:
    names = (None, "blank", "warm", "mild")
    to_27, to_28 = Warm(0, "main", 27.0, 1.0), Warm(0, "main", 28.0, 1.0)
    assert warmed(tank, know, kinds, to_27, names=names, code="S-HEAT") == []
    (caution,) = warmed(tank, know, kinds, to_28, names=names, code="S-HEAT")
    assert (caution.level, caution.body, caution.claim_key) == (Level.CARE, "main", "")
    assert caution.words == "Warm for warm (kept at most at 27 C), mild (kept at most at 27 C)."
    assert caution.why == "The water goes from 25.5 to 28 C."
    hot = replace(tank, temperature_c=28.0)
    (note,) = warmed(hot, know, kinds, names=names, code="S-HEAT")
    assert note.level is Level.NOTE
    (still,) = warmed(hot, know, kinds, Warm(0, "main", 28.0, 1.0), names=names, code="S-HEAT")
    assert still.level is Level.NOTE


def test_what_heat_harms_is_not_warmed_beyond_its_range(
    tank: System, know: Callable[..., Knowledge], kinds: dict[str, Host]
) -> None:
    to_28 = Warm(0, "main", 28.0, 1.0)
    (caution,) = warmed(tank, know, kinds, to_28, names=["soft"], code="S-HEAT")
    assert (caution.level, caution.body, caution.group) == (Level.BLOCKED, "main", "soft")
    assert caution.claim_key == "host.soft.tolerance.heat"
    assert caution.why == "Up to 28 C; kept at 20 to 27 C, and heat is to be avoided."
    (note,) = warmed(replace(tank, temperature_c=28.0), know, kinds, names=["soft"], code="S-HEAT")
    assert (note.level, note.group) == (Level.NOTE, "")


def test_cold_below_a_range_is_told_whatever_is_done(
    tank: System, know: Callable[..., Knowledge], kinds: dict[str, Host]
) -> None:
    names = ("warm", "soft")
    assert warmed(replace(tank, temperature_c=20.0), know, kinds, names=names, code="S-COLD") == []
    (caution,) = warmed(replace(tank, temperature_c=19.0), know, kinds, names=names, code="S-COLD")
    assert (caution.level, caution.body, caution.claim_key) == (Level.CARE, "main", "")
    assert caution.words == "Cold for warm (kept at least at 20 C), soft (kept at least at 20 C)."
    assert caution.why == "The water goes from 19 to 19 C."


# What may meet --------------------------------------------------------------------------------


def pair(apart_h: float, level: str, **more: Any) -> Claim:
    conditions = {"level": level, "why": more.pop("why", "they curdle")}
    return one_claim("agent.x.incompatible.y", apart_h, conditions=conditions, **more)


def test_two_agents_that_do_not_go_together_are_kept_apart_by_the_strictest_rule(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    gone = {"practice__course__gone_share": 0.01, "practice__course__days_between_medicines": 9.0}
    for agent in (GREEN, COPPER):
        gone[f"agent__{agent}__half_life"] = 0.01
    plain = know(**gone)
    here, there = f"agent.{GREEN}.incompatible.{COPPER}", f"agent.{COPPER}.incompatible.{GREEN}"

    def meet(second: int, claim: Claim | None = None, other: Claim | None = None) -> list[Caution]:
        claims = {k: (replace(v, key=k),) for k, v in ((here, claim), (there, other)) if v}
        facts = replace(plain, facts={**plain.facts, **claims})
        steps = Dose(8, "main", GREEN, 0.1), Dose(second, "main", COPPER, 0.15)
        return cautions_of(tank, facts, *steps, code="E-DOSE-23", days=9)

    care, stop = pair(24.0, "care", source="a leaflet"), pair(12.0, "blocked")
    (caution,) = meet(10, care)
    assert (caution.level, caution.hour, caution.body) == (Level.CARE, 10, "main")
    assert caution.why == "They curdle (a leaflet); 24 h apart, with a change between."
    assert caution.words.endswith(" meet in the same water.")
    (stopped,) = meet(10, care, stop)
    assert stopped.level is Level.BLOCKED
    assert stopped.why == "They curdle; 12 h apart, with a change between."
    assert stopped.words.startswith("Do not combine ")
    assert [rule.level for rule in meet(10, stop, care)] == [Level.BLOCKED]
    longer = pair(24.0, "blocked", why="it bursts")
    for rule, other in ((stop, longer), (longer, stop)):
        (both,) = meet(10, rule, other)
        assert both.why.startswith("It bursts; 24 h apart")
    assert (len(meet(20, stop)), len(meet(21, stop))) == (1, 0)
    (noted,) = meet(10, one_claim("k", 5.0, note="it clouds"))
    assert (noted.level, noted.why[:10]) == (Level.CARE, "It clouds;")


def test_one_active_under_two_names_is_given_once(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    plain = know()
    twice = replace(plain.agents[COPPER], actives=(GREEN, "x", COPPER))
    both = replace(plain.agents[GREEN], actives=("x", GREEN))
    facts = replace(plain, agents={**plain.agents, COPPER: twice, GREEN: both})
    steps = Dose(8, "main", GREEN, 0.1), Dose(30, "main", COPPER, 0.15)
    (caution,) = cautions_of(tank, facts, *steps, code="E-DOSE-22")
    assert (caution.level, caution.hour, caution.body, caution.claim_key) == (
        Level.BLOCKED,
        30,
        "main",
        "",
    )
    assert caution.why == f"Both bring {GREEN}, x into the water."
    assert caution.words == "Do not combine malachite green and blue copper crystals."
    assert cautions_of(tank, facts, steps[0], code="E-DOSE-22") == []
