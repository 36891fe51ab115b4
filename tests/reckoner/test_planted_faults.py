"""The comparison notices a wrong rule: each planted fault makes some histories disagree."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from tests.reckoner.by_program import folded, in_waters
from tests.reckoner.compared import disagreements
from tests.reckoner.histories import history
from tests.reckoner.printed_rates import Shelf
from tests.reckoner.reckoning import reckon

from tankside.claims import Knowledge
from tankside.course.amounts.water_account import WaterAccount
from tankside.intake import account, joined_account, water_balance
from tankside.intake.account import AskedAmount

HISTORIES = 60


def forget(*_: object, **__: object) -> Iterator[object]:
    """Enter nothing at all."""
    return iter(())


def given_whatever_was_said(entry: Any, agent: str, answer: Any) -> AskedAmount:
    return AskedAmount(entry, agent, None if answer is None else True, answer)


def put_in_as_if_known(water: WaterAccount, agent: str) -> None:
    water.put_in(agent, 0.0, 0.0)


def whole_strength(parts: Any, volume: Any, rates: Any) -> WaterAccount:
    """Join waters as if only the first had held anything."""
    joined: WaterAccount = parts[0].parted(volume, rates)
    for part in parts:
        joined.inflows_l_h |= part.inflows_l_h
    return joined


PLANTED: dict[str, tuple[Any, str, Callable[..., object]]] = {
    "a missed dose was given": (account, "_asked_amount", given_whatever_was_said),
    "no water was changed": (account, "_changes", forget),
    "no copper was read": (account, "_copper_read", forget),
    "no salt was read": (account, "salt_read", forget),
    "salt for the volume is gone": (account, "_salt_for_the_volume", forget),
    "what is unknown is nothing": (WaterAccount, "put_in_unknown", put_in_as_if_known),
    "carbon was always out": (water_balance, "carbon_told", lambda *_: ((-1e6, False),)),
    "waters do not mix": (joined_account, "mixed", whole_strength),
}


@pytest.mark.parametrize("fault", PLANTED)
def test_a_planted_fault_is_noticed(
    fault: str, monkeypatch: pytest.MonkeyPatch, shelf: Shelf, facts: Knowledge
) -> None:
    where, name, wrong = PLANTED[fault]
    monkeypatch.setattr(where, name, wrong)
    assert any(
        disagreements(
            reckon(story.rows, story.now, shelf),
            in_waters(folded(story.rows), facts, story.now),
            shelf,
        )
        for story in (history(seed, joins=True) for seed in range(HISTORIES))
    )
