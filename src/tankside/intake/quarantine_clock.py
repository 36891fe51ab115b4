"""How long the animals of each water stay apart: the clock restarts for all that share it.

Print keeps new fish apart for some weeks; where a parasite needs longer than that for a slow cycle
at the temperature read, its cycle counts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from tankside.case import CaseView
from tankside.claims import Claim, Knowledge
from tankside.intake.care_seen import signs_in
from tankside.intake.joined_waters import joined_waters
from tankside.intake.likely_cause import parasite_behind
from tankside.intake.quarantine_looks import AwaitedParasite, awaited_parasites, look_words
from tankside.quantity.dates import day_words
from tankside.quantity.moment import Moment
from tankside.sampling import in_words

TIME_KEY = "quarantine.times.new_fish"
QUARANTINE_OF = "Quarantine of"
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
        awaited: the parasites it waits for, the slowest first.
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
    awaited: tuple[AwaitedParasite, ...] = ()

    @property
    def slowest(self) -> AwaitedParasite | None:
        """The slowest parasite that days can outlast; None where no temperature was read."""
        return next((p for p in self.awaited if p.is_timed), None)

    def look_for(self, day: date) -> tuple[str, ...]:
        """Return what a look is for: by each way, what must show by its day."""
        earlier = [look for look in (self.began, *self.looks) if look < day]
        before = (max(earlier, default=self.began) - self.began).days
        return tuple(look_words(self.awaited, (day - self.began).days, before))


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
    return tuple(_of_water(view, parts, claim, facts) for parts in bodies if _fish_of(view, parts))


def _fish_of(view: CaseView, parts: tuple[str, ...]) -> list[int | None]:
    groups = (g for g in view.stock.values() if g.living == "fish" and g.system in parts)
    return [group.alive for group in groups]


def _of_water(
    view: CaseView, parts: tuple[str, ...], claim: Claim, facts: Knowledge
) -> QuarantineOfWater:
    began, why = max(_starts(view, parts, facts), key=lambda start: start[0])
    counted = sum(number or 0 for number in _fish_of(view, parts))
    warmth = next((t for part in parts if (t := view.systems[part].temperature) is not None), None)
    warm_c = None if warmth is None else warmth.number("C")
    low, high = int(claim.low or claim.number()), int(claim.high or claim.number())
    water = view.systems[parts[0]].description.water or view.opened.water
    awaited = awaited_parasites(facts, water, warm_c, high)
    cycle = max((p.cycle_d or 0 for p in awaited if p.is_timed), default=0)
    ends, long_end = max(low, cycle), max(high, 2 * cycle)
    looked = sorted({min(LEAST_LOOKED, counted), counted} - {0})
    days = sorted({*range(LOOK_EVERY_D, ends, LOOK_EVERY_D), ends})
    return QuarantineOfWater(
        ids=parts,
        waters=tuple(view.systems[part].name for part in parts),
        began=began,
        why=why,
        ends=began + timedelta(days=ends),
        long_end=began + timedelta(days=long_end),
        looks=tuple(began + timedelta(days=d) for d in days),
        fish=counted,
        excludes=tuple(in_words(0, number, population=counted) for number in looked),
        temperature_c=warm_c,
        time=claim,
        arrived=max((day for day, _ in _arrivals(view, parts)), default=None),
        awaited=awaited,
    )


def restarted(view: CaseView, facts: Knowledge) -> str:
    """Say that the clock of a quarantine that is followed started anew; "" while it did not."""
    course = view.course
    if course is None or not course.name.startswith(QUARANTINE_OF):
        return ""
    anew = [w for w in quarantines(view, facts) if w.began > course.moment.day and w.arrived]
    if not anew:
        return ""
    water = max(anew, key=lambda w: w.began)
    return (
        f"The clock of the quarantine started anew on {day_words(water.began)}, because "
        f"{water.why}: it ends on {day_words(water.ends)} at the earliest. Take it up anew: "
        "tankside plan CASE, then --choose NAME."
    )


def _starts(view: CaseView, parts: tuple[str, ...], facts: Knowledge) -> Iterator[tuple[date, str]]:
    yield view.opened.moment.day, "the case was opened"
    yield from _arrivals(view, parts)
    yield from signs_in(view, parts)
    yield from _counted(view, parts)
    for named in view.diagnoses:
        cause = named.condition
        if named.state == "confirmed" and parasite_behind(cause, facts, view.opened.water):
            yield named.moment.day, f"{cause} was confirmed"


def _counted(view: CaseView, parts: tuple[str, ...]) -> Iterator[tuple[date, str]]:
    """Yield the day of every count that showed something; what names no water is of this one."""
    homes = {group.id: group.system for group in view.stock.values()}
    for count in view.counts:
        water = count.system or homes.get(count.group or "", "")
        if count.positive and (not water or water in parts):
            yield count.moment.day, "a count was not zero"


def _arrivals(view: CaseView, parts: tuple[str, ...]) -> Iterator[tuple[date, str]]:
    for group in view.stock.values():
        if group.system in parts and group.description.arrived is not None:
            arrived = Moment(group.description.arrived).day
            yield arrived, f"{group.description.name} arrived"
