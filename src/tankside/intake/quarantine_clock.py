"""How long the animals of each water stay apart: the clock restarts for all that share it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from tankside.case import CaseView
from tankside.claims import Claim, Knowledge
from tankside.intake.care_seen import signs_in
from tankside.intake.joined_waters import joined_waters
from tankside.quantity.moment import Moment
from tankside.sampling import in_words

TIME_KEY = "quarantine.times.new_fish"
LOOK_EVERY_D = 7
LEAST_LOOKED = 4
"""Fish a look takes at least, where there are as many: loads differ between fish (care)."""


@dataclass(frozen=True, slots=True)
class QuarantineOfWater:
    """The quarantine of one body of water.

    Args:
        ids: of its parts.
        waters: names of its parts.
        began: the day the clock started last.
        why: what started it.
        ends: the earliest day it may end.
        long_end: the day of the long end.
        looks: days on which to look.
        fish: fish that live in it; 0 where nobody counted.
        excludes: what a look that finds nothing does not exclude, in words.
        temperature_c: as read [C]; None when not read.
        time: the claim of the length.
        arrived: the day on which the newest of its fish came; None when nobody told.
    """

    ids: tuple[str, ...]
    waters: tuple[str, ...]
    began: date
    why: str
    ends: date
    long_end: date
    looks: tuple[date, ...]
    fish: int
    excludes: tuple[str, ...]
    temperature_c: float | None
    time: Claim
    arrived: date | None = None


def quarantines(view: CaseView, facts: Knowledge) -> tuple[QuarantineOfWater, ...]:
    """Return the quarantine of each body of water with fish, in the order they were described.

    The clock starts with the last arrival, the last sign and the last death of all that share the
    water, whichever came last.

    Args:
        view: the case.
        facts: how long print keeps new fish apart.
    """
    claim = facts.find(TIME_KEY)
    if claim is None:
        return ()
    bodies = joined_waters(view).bodies()
    return tuple(_of_water(view, parts, claim) for parts in bodies if _fish_of(view, parts))


def _fish_of(view: CaseView, parts: tuple[str, ...]) -> list[int | None]:
    groups = (g for g in view.stock.values() if g.living == "fish" and g.system in parts)
    return [group.alive for group in groups]


def _of_water(view: CaseView, parts: tuple[str, ...], claim: Claim) -> QuarantineOfWater:
    began, why = max(_starts(view, parts), key=lambda start: start[0])
    counted = sum(number or 0 for number in _fish_of(view, parts))
    low, high = int(claim.low or claim.number()), int(claim.high or claim.number())
    warmth = next((t for part in parts if (t := view.systems[part].temperature) is not None), None)
    looked = sorted({min(LEAST_LOOKED, counted), counted} - {0})
    return QuarantineOfWater(
        ids=parts,
        waters=tuple(view.systems[part].name for part in parts),
        began=began,
        why=why,
        ends=began + timedelta(days=low),
        long_end=began + timedelta(days=high),
        looks=tuple(began + timedelta(days=d) for d in range(LOOK_EVERY_D, low + 1, LOOK_EVERY_D)),
        fish=counted,
        excludes=tuple(in_words(0, number, population=counted) for number in looked),
        temperature_c=None if warmth is None else warmth.number("C"),
        time=claim,
        arrived=max((day for day, _ in _arrivals(view, parts)), default=None),
    )


def _starts(view: CaseView, parts: tuple[str, ...]) -> Iterator[tuple[date, str]]:
    yield view.opened.moment.day, "the case was opened"
    yield from _arrivals(view, parts)
    yield from signs_in(view, parts)


def _arrivals(view: CaseView, parts: tuple[str, ...]) -> Iterator[tuple[date, str]]:
    for group in view.stock.values():
        if group.system in parts and group.description.arrived is not None:
            arrived = Moment(group.description.arrived).day
            yield arrived, f"{group.description.name} arrived"
