"""Follow-up by protocol: deaths come first, then the days of the rule, and no end without them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.follow.by_protocol import CareAdvice, CareLook, ProtocolInputs, judge, next_due

CLEAN = ProtocolInputs(
    today=7,
    due=(3, 7),
    looks=(CareLook(3, sign=False), CareLook(7, sign=False)),
    dead={},
    water_fault=False,
    water_measured=(),
    of_water=False,
    parasites_gone=False,
    authority=False,
)


def test_every_look_clean_on_its_day_may_be_called_over() -> None:
    assert judge(CLEAN).advice is CareAdvice.MAY_BE_OVER


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"looks": (CareLook(7, sign=False),)}, "Nobody looked on day 3"),
        ({"today": 6, "looks": (CareLook(3, sign=False),)}, "runs to day 7"),
        ({"dead": {6: 1}}, "1 died in the last 3 days"),
        ({"authority": True}, "The authority says"),
        ({"water_fault": True}, "not safe"),
        ({"of_water": True, "water_measured": (3,)}, "not measured on day 7"),
        ({"of_water": True, "water_measured": (7,)}, "on a single day"),
        ({"due": ()}, "No end can be named, because"),
    ],
)
def test_what_is_missing_keeps_it_open(change: dict[str, object], words: str) -> None:
    judged = judge(replace(CLEAN, **change))  # type: ignore[arg-type]
    assert judged.advice is CareAdvice.GO_ON
    assert words in " ".join(judged.reasons)


def test_deaths_that_double_are_a_call_whatever_else_is_clean() -> None:
    judged = judge(replace(CLEAN, dead={5: 1, 7: 2}))
    assert judged.advice is CareAdvice.CALL


def test_a_death_after_the_last_day_is_a_call() -> None:
    judged = judge(replace(CLEAN, today=9, dead={9: 1}))
    assert judged.advice is CareAdvice.CALL


def test_deaths_while_the_parasites_are_gone_send_back_to_the_examination() -> None:
    judged = judge(replace(CLEAN, today=6, dead={2: 1, 3: 1, 4: 1}, parasites_gone=True))
    assert judged.advice is CareAdvice.LOOK_AGAIN
    assert "not what kills" in " ".join(judged.reasons)


def test_signs_on_the_last_day_send_back_to_the_examination() -> None:
    looks = (CareLook(3, sign=False), CareLook(7, sign=True))
    assert judge(replace(CLEAN, looks=looks)).advice is CareAdvice.LOOK_AGAIN


def test_a_look_that_is_due_is_named_for_the_same_day() -> None:
    assert next_due(replace(CLEAN, today=3, looks=())) == 3
    assert next_due(replace(CLEAN, today=3, looks=(CareLook(3, sign=False),))) == 7


SOME = st.integers(0, 30)


@given(
    today=SOME,
    due=st.lists(SOME, max_size=4, unique=True).map(lambda d: tuple(sorted(d))),
    looks=st.dictionaries(SOME, st.booleans(), max_size=6),
    dead=st.dictionaries(SOME, st.integers(1, 5), max_size=4),
)
def test_more_deaths_never_bring_the_end_nearer(
    today: int, due: tuple[int, ...], looks: dict[int, bool], dead: dict[int, int]
) -> None:
    seen = replace(
        CLEAN,
        today=today,
        due=due,
        looks=tuple(CareLook(day, sign) for day, sign in sorted(looks.items()) if day <= today),
        dead={},
    )
    worse = replace(seen, dead={day: n for day, n in dead.items() if day <= today})
    if judge(worse).advice is CareAdvice.MAY_BE_OVER:
        assert judge(seen).advice is CareAdvice.MAY_BE_OVER
    assert judge(worse).next_look >= today
    assert judge(worse).reasons
