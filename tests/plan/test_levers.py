"""What the levers may take is read from the claims, each value once and in rising order."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankside import library
from tankside.claims import Knowledge
from tankside.plan.levers import PREFIX, levels, read_levers

FACTS = library.load()


def changed(**figures: tuple[float | None, float | None, float | None]) -> Knowledge:
    """Return the knowledge with the levels (low, value, high) of some levers replaced."""
    claims = dict(FACTS.facts)
    for short, (low, value, high) in figures.items():
        old = FACTS.claim(PREFIX + short)
        claims[PREFIX + short] = (replace(old, low=low, value=value, high=high),)
    return replace(FACTS, facts=claims)


@pytest.mark.parametrize(
    ("figures", "rising"),
    [
        ((0.15, 0.25, 0.5), (0.15, 0.25, 0.5)),
        ((2, 2, 3), (2, 3)),
        ((None, 0.3, None), (0.3,)),
        ((0.1, 0.4, 0.4), (0.1, 0.4)),
    ],
)
def test_low_value_and_high_are_tried_each_once(
    figures: tuple[float | None, float | None, float | None], rising: tuple[float, ...]
) -> None:
    assert levels(changed(change_share=figures), "change_share") == rising


def test_each_lever_is_read_from_its_own_claim() -> None:
    figures: dict[str, tuple[float | None, float | None, float | None]] = {
        "change_share": (0.11, 0.22, 0.33),
        "change_every": (1, 2, 4),
        "length_in_slow_cycles": (2, 2.5, 4),
        "warm_rise": (1, 2, 3),
        "warm_per_day": (None, 0.7, None),
        "salt_step": (None, 0.6, None),
        "salt_step_every": (None, 13, None),
        "removal_changes": (None, 5, None),
        "morning_hour": (None, 7, None),
        "evening_hour": (None, 19, None),
        "latest_hour": (None, 22, None),
        "count_every": (None, 6, None),
    }
    read = read_levers(changed(**figures))
    assert (read.change_shares, read.usual_change) == ((0.11, 0.22, 0.33), 0.22)
    assert read.change_every_d == (1, 2, 4)
    assert read.lengths == (2, 2.5, 4)
    assert (read.warm_rises_c, read.warm_per_day_c) == ((1, 2, 3), 0.7)
    assert (read.salt_step_g_l, read.salt_step_every_h) == (0.6, 13)
    assert (read.removal_changes, read.count_every_d) == (5, 6)
    assert (read.morning_h, read.evening_h, read.latest_h) == (7, 19, 22)


def test_a_lever_without_its_claim_is_no_silent_default() -> None:
    claims = {key: of for key, of in FACTS.facts.items() if key != f"{PREFIX}salt_step"}
    with pytest.raises(KeyError):
        read_levers(replace(FACTS, facts=claims))
