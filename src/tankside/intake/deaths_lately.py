"""Deaths beside the counts: how many died lately, and whether fewer parasites are seen now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from tankside.claims import setting, whole_setting
from tankside.intake.parasite_looks import ParasiteLook, ParasiteLooks

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


def deaths_lately(seen: ParasiteLooks, asked_on: date) -> DeathsLately:
    """Return the deaths of the last days beside what the counts of the parasite did.

    Args:
        seen: the looks that speak of the parasite.
        asked_on: the day it is asked on; nothing later is used.
    """
    begins = asked_on - timedelta(days=LATELY_D)
    dead = sum(d.number for d in seen.view.deaths if begins < d.moment.day <= asked_on)
    counts = (look for look in seen.looks if look.counted and look.at.day <= asked_on)
    return DeathsLately(dead, LATELY_D, _down(counts))


def _down(counts: Iterable[ParasiteLook]) -> bool:
    """Whether every kind of count that once showed something is at half of its most, or below.

    Counts are held against others of the same kind, made in the same way.
    """
    by_kind: dict[tuple[str, bool, bool], dict[date, float]] = {}
    for count in counts:
        kind = (count.method, count.number is not None, count.mean is not None)
        days = by_kind.setdefault(kind, {})
        days[count.at.day] = max(days.get(count.at.day, 0.0), count.amount)
    kinds = [days for days in by_kind.values() if max(days.values()) > 0]
    return bool(kinds) and all(days[max(days)] <= _DOWN * max(days.values()) for days in kinds)
