from __future__ import annotations

import pytest

from tankside.diagnose import (
    Evidence,
    Tables,
    first_rows,
    in_strip,
    keep_in_mind,
    must_not_miss,
    rank,
)

CALLS = [
    {},
    {"water_type": "marine", "breathing": "gasping_surface"},
    {"water_type": "freshwater", "host_fw": "goldfish_koi", "mortality": "mass_24h"},
    {"m_attached_dino": "yes", "water_type": "marine"},
]


@pytest.mark.parametrize("answers", CALLS)
def test_at_most_two_alarms_each_with_a_step(tables: Tables, answers: dict[str, str]) -> None:
    alarms = must_not_miss(rank(tables, Evidence.of(answers)))
    assert len(alarms) <= 2
    assert all(alarm.step for alarm in alarms)
    dangerous = {c.id for c in tables.facts.conditions.values() if c.cannot_miss}
    named = {name for alarm in alarms for name in (alarm.condition, *alarm.also)}
    assert named <= dangerous


def test_the_strip_shows_what_the_first_rows_hide(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of({"water_type": "marine", "breathing": "fast"}))
    likely = tables.facts.number("strip_shown_chance")
    for name in in_strip(ranking):
        assert name not in first_rows(ranking) or ranking.of(name) >= likely


def test_a_likely_dangerous_cause_leads_the_strip_with_its_step(tables: Tables) -> None:
    alarm = must_not_miss(rank(tables, Evidence.of(CALLS[3])))[0]
    assert alarm.condition == "MVELVET"
    assert "gill" in alarm.step


def test_koi_herpesvirus_forbids_movement_before_certainty(tables: Tables) -> None:
    step = tables.facts.conditions["KHV"].step
    assert "No fish in or out" in step
    assert "authority" in step


def test_every_dangerous_cause_names_a_step(tables: Tables) -> None:
    for condition in tables.facts.conditions.values():
        assert condition.step or not condition.cannot_miss


def test_the_early_list_is_in_no_order_of_likelihood(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of({"water_type": "freshwater", "spots_visible": "yes"}))
    early = keep_in_mind(ranking)
    names = [tables.facts.conditions[name].name for name in early]
    assert names == sorted(names)
    assert "ICH" in early
    assert in_strip(ranking) <= set(early)


@pytest.mark.parametrize("answers", CALLS)
def test_alarms_stand_in_order_of_chance_times_harm(
    tables: Tables, answers: dict[str, str]
) -> None:
    """Harm summed over the causes of an alarm; the worst cause of an alarm names it."""
    ranking = rank(tables, Evidence.of(answers))
    conditions = tables.facts.conditions

    def harm(name: str) -> float:
        return ranking.of(name) * conditions[name].harm_missed.point

    alarms = must_not_miss(ranking)
    totals = [sum(harm(name) for name in (a.condition, *a.also)) for a in alarms]
    assert totals == sorted(totals, reverse=True)
    for alarm in alarms:
        assert all(harm(alarm.condition) >= harm(name) for name in alarm.also)


def test_harm_and_not_chance_decides(tables: Tables) -> None:
    """A cause that is less likely but far more harmful goes first."""
    import dataclasses
    from types import MappingProxyType

    from tankside.claims.diagnosis import Chance, Condition
    from tankside.diagnose import compile_tables

    def harmless(condition: Condition) -> Condition:
        return dataclasses.replace(condition, harm_missed=Chance(0.001, 0.001, 0.001))

    seen = Evidence.of({"water_type": "marine", "breathing": "gasping_surface"})
    first = must_not_miss(rank(tables, seen))[0].condition
    conditions = dict(tables.facts.conditions)
    conditions = {
        n: harmless(c) if c.alarm == conditions[first].alarm else c for n, c in conditions.items()
    }
    mild = dataclasses.replace(tables.facts, conditions=MappingProxyType(conditions))
    alarms = must_not_miss(rank(compile_tables(mild), seen))
    assert all(alarm.condition != first for alarm in alarms[:1])
