"""Each lever pulled does what its words say, with the amounts and the hours of the case."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, TypeVar

import pytest
from tests.plan.hand_made import DYE, LEVERS, SALT, situation, tank

from tankside.course import Aeration, InWater, System
from tankside.course.actions import Carbon, SaltTo, Siphon, UltraViolet, WaterChange
from tankside.course.actions.action import Action
from tankside.plan import CandidatePart
from tankside.plan import parts as part

A = TypeVar("A", bound=Action)


def only(parts: tuple[CandidatePart, ...]) -> Any:
    """Return the one action of the one part."""
    ((action,),) = (pulled.actions for pulled in parts)
    return action


def all_of(kind: type[A], actions: Iterable[Action]) -> list[A]:
    """Return actions that are all of one kind."""
    made = list(actions)
    assert all(isinstance(action, kind) for action in made), made
    return [action for action in made if isinstance(action, kind)]


def test_carbon_and_uv_are_taken_out_and_off_unless_known_not_to_be_there() -> None:
    carbon, uv = part.media_out(tank(), 18)
    assert all_of(Carbon, carbon.actions)[0].in_water is False
    assert all_of(UltraViolet, uv.actions)[0].on is False
    assert [p.words for p in part.media_out(tank(carbon_in=True, uv_on=False), 18)] == [
        "carbon out"
    ]
    assert part.media_out(tank(carbon_in=False, uv_on=False), 18) == ()


@pytest.mark.parametrize("flow", [None, 0.0])
def test_a_unit_without_a_flow_is_not_turned_on(flow: float | None) -> None:
    still = tank(turnover_per_h=flow, uv_turnover_per_h=flow)
    assert part.uv_on(still, 18) == part.fine_filter(still, 18) == ()


def test_a_unit_is_turned_on_at_its_own_flow() -> None:
    flowing = tank(turnover_per_h=0.5, uv_turnover_per_h=0.25)
    uv, fine = only(part.uv_on(flowing, 18)), only(part.fine_filter(flowing, 18))
    assert (uv.at_h, uv.on, uv.turnover_per_h) == (18, True, 0.25)
    assert (fine.at_h, fine.on, fine.turnover_per_h) == (18, True, 0.5)


def test_air_is_turned_on_unless_it_runs() -> None:
    air = only(part.air(tank(), 18))
    assert (air.at_h, air.on) == (18, True)
    assert part.air(tank(aeration=Aeration.AIR_STONE), 18) == ()


def test_leaving_out_siphoning_leaves_the_same_water_changed_plainly() -> None:
    siphoned = part.changes(tank(), 25.0, 18, 3, 8, siphoning=True)
    assert [a.at_h for a in siphoned.actions] == [a.at_h for a in siphoned.instead] == [18, 90, 162]
    assert {a.litres for a in all_of(Siphon, siphoned.actions)} == {25.0}
    assert {a.litres for a in all_of(WaterChange, siphoned.instead)} == {25.0}
    plain = part.changes(tank(), 25.0, 18, 3, 8, siphoning=False)
    assert (plain.actions, plain.instead) == (siphoned.instead, ())
    assert part.changes(tank(), 25.0, 18, 1, 3, siphoning=False).words == "25 L changed every day"


def residue(*mg_l: float | None) -> System:
    return tank(residues=tuple(InWater("sodium_chloride", high, high) for high in mg_l))


@pytest.mark.parametrize(
    ("there", "targets"),
    [
        ((), [1.0, 2.0, 3.0]),
        ((500.0,), [0.5 + 2.5 / 3, 0.5 + 5 / 3, 3.0]),  # 2.5 g/L more in steps of at most 1
        ((500.0, 500.0), [2.0, 3.0]),
        ((None,), [1.0, 2.0, 3.0]),  # an amount that nobody knows is not counted as there
        ((3500.0,), [3.0]),  # more than wished: one step, which adds nothing
    ],
)
def test_salt_goes_up_in_equal_steps_from_what_is_there(
    there: tuple[float | None, ...], targets: list[float]
) -> None:
    salted = part.salt(residue(*there), SALT, 3000.0, 18, LEVERS)
    assert [a.to_g_l for a in all_of(SaltTo, salted.actions)] == pytest.approx(targets)
    assert [a.at_h for a in salted.actions] == [18 + 24 * n for n in range(len(targets))]


def test_a_smaller_step_takes_more_steps() -> None:
    halves = replace(LEVERS, salt_step_g_l=0.5)
    salted = part.salt(tank(), SALT, 2000.0, 18, halves)
    assert [a.to_g_l for a in all_of(SaltTo, salted.actions)] == [0.5, 1.0, 1.5, 2.0]
    assert salted.words == "salt to 2 g/L in 4 steps"


def test_another_substance_in_the_water_is_no_salt() -> None:
    dyed = tank(residues=(InWater("dye", 900.0, 900.0),))
    assert len(part.salt(dyed, SALT, 3000.0, 18, LEVERS).actions) == 3


def test_an_agent_is_taken_out_by_changes_that_put_nothing_back() -> None:
    """After 14 days, at 18:00 of days 14 and 15; carbon only where it takes the agent out."""
    plain = part.take_out(tank(), 25.0, 14, LEVERS, SALT)
    changes = [a for a in plain.actions if isinstance(a, WaterChange)]
    assert [a.at_h for a in changes] == [14 * 24 + 18, 15 * 24 + 18]
    assert {(a.litres, a.put_back) for a in changes} == {(25.0, False)}
    assert [a.kind for a in plain.actions if isinstance(a, Carbon)] == []
    (carbon,) = (a for a in part.take_out(tank(), 25.0, 14, LEVERS, DYE).actions
                 if isinstance(a, Carbon))  # fmt: skip
    assert carbon.in_water is True


def test_a_tank_left_behind_is_emptied_and_nothing_is_put_back() -> None:
    boxes = situation(systems=(tank(), tank("a", 20.0), tank("b", 30.0)), spare=("a", "b"))
    turns = part.moves(boxes, ("a", "b"), 18, 12, 3)
    emptied = [a for a in turns.actions if isinstance(a, Siphon)]
    assert [(a.at_h, a.body, a.litres, a.put_back) for a in emptied] == [
        (30, "a", 20.0, False),
        (42, "b", 30.0, False),
    ]
