"""A check that breaks stops the program; it never lets an amount through."""

from __future__ import annotations

import math
from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest

from tankside.claims import Knowledge
from tankside.course import Course, CourseRun, LabelEntry, System, Volume, run, safety
from tankside.course.actions import Dose
from tankside.course.amounts import double_check, printing, weighing
from tankside.course.amounts.limits import Limit
from tankside.course.amounts.printing import Request, print_amount
from tankside.errors import BadInput, Mistake


class Broken(RuntimeError):
    """Planted in a check."""


def broken(*_: object, **__: object) -> None:
    raise Broken


def one(water: System, facts: Knowledge, label: LabelEntry) -> CourseRun:
    return run([water], [], Course("one", 1, (Dose(8, "main", label.agent, 0.05),)), facts,
               {label.agent: label})  # fmt: skip


@pytest.mark.parametrize("check", safety.CHECKS, ids=lambda check: check.__module__)
def test_a_safety_check_that_breaks_gives_no_course(
    monkeypatch: pytest.MonkeyPatch,
    water: System,
    facts: Knowledge,
    salt: LabelEntry,
    check: Callable[..., Any],
) -> None:
    assert one(water, facts, salt).amounts
    left = tuple(broken if other is check else other for other in safety.CHECKS)
    monkeypatch.setattr(safety, "CHECKS", left)
    with pytest.raises(Broken):
        one(water, facts, salt)


@pytest.mark.parametrize(
    ("place", "name"),
    [
        (printing, "weigh_out"),
        (printing, "_refuse_above"),
        (double_check, "confirm"),
        (double_check, "strength_from_print"),
        (weighing, "within"),
    ],
    ids=lambda x: x if isinstance(x, str) else "",
)
def test_a_sum_that_breaks_gives_no_amount(
    monkeypatch: pytest.MonkeyPatch,
    water: System,
    facts: Knowledge,
    salt: LabelEntry,
    place: ModuleType,
    name: str,
) -> None:
    print_amount.cache_clear()
    weighing.weigh_out.cache_clear()
    monkeypatch.setattr(place, name, broken)
    with pytest.raises(Broken):
        one(water, facts, salt)
    print_amount.cache_clear()
    weighing.weigh_out.cache_clear()


NO_NUMBER = (math.nan, math.inf, -math.inf)


HARMLESS = (("limit", math.inf), ("there", -math.inf))
"""Neither can be typed, and neither makes anything stronger."""
PLANTED = [
    (where, value)
    for where in ("strength", "for_l", "there", "limit")
    for value in NO_NUMBER
    if (where, value) not in HARMLESS
]


@pytest.mark.parametrize(("where", "value"), PLANTED)
def test_what_is_no_number_is_inside_no_limit(salt: LabelEntry, where: str, value: float) -> None:
    figures = {"strength": 1.0, "for_l": 10.0, "there": 0.0, "limit": 5.0}
    figures[where] = value
    asked = Request(
        "x", "the agent", "", figures["strength"], figures["for_l"], 10.0,
        figures["there"], Limit(figures["limit"], "a key", "a leaflet"),
    )  # fmt: skip
    with pytest.raises((Mistake, ArithmeticError, ValueError)):
        print_amount.__wrapped__(asked, salt)


@pytest.mark.parametrize("value", NO_NUMBER)
def test_a_volume_that_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(BadInput):
        Volume(value, value, value, "typed")
