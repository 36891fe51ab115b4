"""Deaths beside the counts: how many died lately, and whether fewer parasites are seen now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from tankside.case import CaseView
from tankside.case.seen import CountMade
from tankside.claims import setting, whole_setting
from tankside.intake.looks_asked import number_seen

LATELY_D = whole_setting(3, "deaths of the last three days say that it goes on")
_DOWN = setting(0.5, "half as many as at the most, or fewer, is down")


@dataclass(frozen=True, slots=True)
class DeathsLately:
    """Deaths of the last days, and what the counts did meanwhile.

    Args:
        dead: how many died on the day asked on and the days just before it.
        days: how many days these are.
        parasites_down: whether at most half as many parasites are seen as at the most.
    """

    dead: int
    days: int
    parasites_down: bool


def deaths_lately(view: CaseView, asked_on: date) -> DeathsLately:
    """Return the deaths of the last days beside what the counts did.

    Args:
        view: the case.
        asked_on: the day it is asked on; nothing later is used.
    """
    begins = asked_on - timedelta(days=LATELY_D)
    dead = sum(d.number for d in view.deaths if begins < d.moment.day <= asked_on)
    counts = [c for c in view.counts if c.moment.day <= asked_on and c.state == "answered"]
    return DeathsLately(dead, LATELY_D, _down(counts))


def _down(counts: Iterable[CountMade]) -> bool:
    """Whether every kind of count that once showed something is at half of its most, or below.

    Counts are held against others of the same thing, made in the same way.
    """
    by_kind: dict[tuple[str, str], dict[date, float]] = {}
    for count in counts:
        days = by_kind.setdefault((count.what, count.method), {})
        day = count.moment.day
        days[day] = max(days.get(day, 0.0), number_seen(count))
    kinds = [days for days in by_kind.values() if max(days.values()) > 0]
    return bool(kinds) and all(days[max(days)] <= _DOWN * max(days.values()) for days in kinds)
