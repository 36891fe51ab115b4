"""From an assembled case to a situation: which agents are tried, when work begins, how warm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
from tests.course.conftest import claim
from tests.plan.hand_made import LEVERS, group, tank

from tankside import library
from tankside.claims import Agent, Knowledge
from tankside.claims.organism import Organism
from tankside.errors import NotPossible
from tankside.intake.assemble import Assembled
from tankside.intake.situation import (
    Watched,
    Wishes,
    acts_on,
    not_simulated,
    situation,
    substances,
)
from tankside.lifecycle import HostGroup
from tankside.plan import Staying
from tankside.quantity.moment import Moment

WHITE_SPOT = library.load().organisms["ichthyophthirius_multifiliis"]
ZERO = Moment("2026-03-02T00:00+00:00")
NOON = Moment("2026-03-02T12:20+00:00")


def agent(name: str, kind: str = "substance", **figures: Any) -> Agent:
    claims = {
        short.replace("__", "."): (claim(f"agent.{name}.{short}", figure),)
        for short, figure in figures.items()
    }
    return Agent(name, name.title(), kind, "as such", (name,), "", claims)


def parasite(*keys: str) -> Organism:
    """Return a parasite on which only these figures are stated."""
    return Organism("worm", "Vermis", "worm", "fresh", (), {key: claim(key, 1.0) for key in keys})


def knowing(*agents: Agent) -> Knowledge:
    return Knowledge({}, agents={known_agent.id: known_agent for known_agent in agents})


def assembled(facts: Knowledge, *systems: Any) -> Assembled:
    nobody: Any = None
    fish = (HostGroup("tetra", 10, (1.0, 1.0, 1.0)),)
    return Assembled(nobody, facts, ZERO, systems or (tank(),), (group(),), fish, "main")


DYE = agent("dye", dose__prolonged=(0.05, 0.1, 0.15))
SALT = agent("sodium_chloride", dose__prolonged=(1000.0, 2000.0, 3000.0))
ACTING = parasite("kill.dye.swimmer", "cyst.release_salt_high_full_g_l")


def test_the_middle_and_the_upper_end_of_the_printed_dose_are_tried() -> None:
    (dye,) = substances(knowing(DYE), ACTING, Wishes())
    assert dye.strengths_mg_l == (0.1, 0.15)
    (flat,) = substances(knowing(agent("dye", dose__prolonged=0.1)), ACTING, Wishes())
    assert flat.strengths_mg_l == (0.1,)


def test_a_strength_that_is_wished_replaces_the_printed_ones() -> None:
    wishes = Wishes(strengths={"dye": 0.07}, reason="asked for by the vet")
    tried = {s.agent: s for s in substances(knowing(DYE, SALT), ACTING, wishes)}
    assert tried["dye"].strengths_mg_l == (0.07,)
    assert tried["sodium_chloride"].strengths_mg_l == (2000.0, 3000.0)
    assert {s.reason for s in tried.values()} == {"asked for by the vet"}


def test_salt_is_held_and_raised_in_steps_and_another_agent_fades() -> None:
    dye, salt = substances(knowing(DYE, SALT), ACTING, Wishes())
    assert (dye.staying, dye.in_steps) == (Staying.FADES, False)
    assert (salt.staying, salt.in_steps) == (Staying.HELD, True)


def test_only_the_agents_named_are_tried() -> None:
    only = substances(knowing(DYE, SALT), ACTING, Wishes(only=frozenset({"dye"})))
    assert [s.agent for s in only] == ["dye"]


@pytest.mark.parametrize(
    "left_out",
    [
        agent("dye", kind="evidence_only", dose__prolonged=0.1),
        agent("dye", kind="physical", dose__prolonged=0.1),
        agent("dye", dose__prolonged=0.1, not_offered="too dangerous"),
        agent("dye", dose__bath=0.1),
        agent("other", dose__prolonged=0.1),
    ],
    ids=["evidence only", "no substance", "not offered", "no prolonged dose", "acts on nothing"],
)
def test_an_agent_is_left_out_that_is_not_offered_or_does_nothing_here(left_out: Agent) -> None:
    assert substances(knowing(left_out), ACTING, Wishes()) == ()


@pytest.mark.parametrize(
    ("hours", "days"),
    [
        (48.0, (2,)),
        ((24.0, 48.0, 72.0), (1, 2, 3)),
        ((None, 36.0, None), (2,)),
        ((6.0, 12.0, 25.0), (1, 2)),
    ],
)
def test_intervals_are_whole_days_rounded_up_and_at_least_one(
    hours: float | tuple[float | None, float | None, float | None], days: tuple[int, ...]
) -> None:
    dosed = agent("dye", dose__prolonged=0.1, interval__prolonged=hours)
    (dye,) = substances(knowing(dosed), ACTING, Wishes())
    assert dye.again_every_d == days


@pytest.mark.parametrize(
    ("says", "removes"), [("removes", True), ("partly", True), ("no", False), (None, None)]
)
def test_carbon_removes_an_agent_wholly_partly_not_or_nobody_knows(
    says: str | None, removes: bool | None
) -> None:
    figures: Mapping[str, Any] = {} if says is None else {"removal__carbon": says}
    (dye,) = substances(knowing(agent("dye", dose__prolonged=0.1, **figures)), ACTING, Wishes())
    assert dye.carbon_removes is removes


@pytest.mark.parametrize(
    ("keys", "name", "acts"),
    [
        (("kill.dye.swimmer",), "dye", True),
        (("kill.dye_two.swimmer",), "dye", False),
        (("cyst.release_salt_high_full_g_l",), "sodium_chloride", True),
        (("swimmer.salinity_low",), "sodium_chloride", True),
        (("swimmer.salinity_low",), "dye", False),
        (("kill.sodium_chloride.swimmer",), "sodium_chloride", True),
        (("stay.warmth",), "sodium_chloride", False),
    ],
)
def test_an_agent_acts_where_a_figure_says_so(keys: tuple[str, ...], name: str, acts: bool) -> None:
    assert acts_on(parasite(*keys), name) is acts


def test_what_has_a_dose_but_no_figure_is_named_as_not_simulated() -> None:
    facts = knowing(DYE, agent("other", dose__prolonged=0.1), agent("bathed", dose__bath=0.1))
    assert not_simulated(facts, ACTING) == ("Other",)
    assert not_simulated(facts, parasite()) == ("Dye", "Other")


@pytest.mark.parametrize(
    ("last", "first_h"),
    [
        (NOON, 18),  # this evening
        (Moment("2026-03-02T18:00+00:00"), 19),  # the evening has begun: the next full hour
        (Moment("2026-03-02T20:30+00:00"), 21),
        (Moment("2026-03-02T21:00+00:00"), 42),  # 22:00 is after the latest hour: tomorrow
        (Moment("2026-03-02T00:00+00:00", day_only=True), 18),
        (Moment("2026-03-02T23:00+00:00", day_only=True), 18),
    ],
)
def test_work_begins_this_evening_at_the_next_hour_or_tomorrow(last: Moment, first_h: int) -> None:
    place = situation(assembled(knowing()), WHITE_SPOT, LEVERS, Wishes(), last)
    assert place.first_h == first_h


def test_warmer_water_is_tried_in_whole_degrees_unless_nobody_wants_it() -> None:
    """25 C measured and rises of 2 and 4.4 C are 27 and, in whole degrees, 29 C."""
    levers = replace(LEVERS, warm_rises_c=(2.0, 4.4))
    case = assembled(knowing())
    assert situation(case, WHITE_SPOT, levers, Wishes(), NOON).warm_to_c == (27.0, 29.0)
    assert situation(case, WHITE_SPOT, levers, Wishes(warm=False), NOON).warm_to_c == ()


def test_main_spare_and_hosts_are_taken_from_the_case() -> None:
    case = assembled(knowing(DYE), tank(), tank("box", 18.0))
    wishes = Wishes(change_l=40.0)
    place = situation(case, ACTING_WHITE_SPOT, LEVERS, wishes, NOON, watched=Watched(("tetra",)))
    assert (place.main, place.spare, place.fish) == ("main", ("box",), ("tetra",))
    assert (place.change_l, place.watched) == (40.0, ("tetra",))
    assert [s.agent for s in place.substances] == ["dye"]
    assert place.stage_durations.temperature_c == 25.0


ACTING_WHITE_SPOT = replace(
    WHITE_SPOT, claims={**WHITE_SPOT.claims, "kill.dye.swimmer": claim("kill.dye.swimmer", 1.0)}
)


def test_without_a_thermometer_reading_nothing_is_dated() -> None:
    cold = replace(tank(), temperature_c=None)
    with pytest.raises(NotPossible) as refused:
        situation(assembled(knowing(), cold), WHITE_SPOT, LEVERS, Wishes(), NOON)
    assert (refused.value.code, refused.value.field) == ("E-DOSE-20", "temperature")
    assert "not the heater dial" in refused.value.needed
