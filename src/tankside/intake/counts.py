"""From the counts of a case to sightings, days looked at and counts by group."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.case import CaseView
from tankside.case.done import Death
from tankside.case.seen import CountMade
from tankside.follow import DayLooked, GroupCount
from tankside.lifecycle import HostGroup, Sighting
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import HOURS_PER_DAY

SCRAPES = ("skin_scrape", "fin_clip", "gill_clip", "other")
WHOLE_FISH = ("by_eye", "photo")
WORST = "worst"


def sightings(view: CaseView, groups: tuple[HostGroup, ...], zero: Moment) -> tuple[Sighting, ...]:
    """Return every count on fish of a known group, and the deaths, in order of time.

    A count that names no group stands for the only group, or for the one whose name it holds;
    where neither is so it is left out here (it still counts as a day looked at).
    """
    counted = (_sighting(view, count, groups, zero) for count in view.counts)
    seen = [sighting for sighting in counted if sighting is not None]
    return tuple(
        sorted([*seen, *_deaths(view.deaths, groups, zero)], key=lambda sighting: sighting.hour)
    )


def looks(view: CaseView, zero: Moment) -> tuple[DayLooked, ...]:
    """Return the days (from the day of ``zero``) on which fish were looked at."""
    return tuple(
        DayLooked((count.moment.day - zero.day).days, _number(count) > 0)
        for count in view.counts
        if count.state == "answered"
    )


def fish_examined(view: CaseView, day: int) -> int:
    """Return how many fish the looks of one day of the case examined, at least.

    Fish that bear one name or stand for one group are one fish; a count "of n" examined n.
    """
    first = view.opened.moment.day
    made = [
        count
        for count in view.counts
        if (count.moment.day - first).days == day and count.state == "answered"
    ]
    named = {count.fish or count.group or "" for count in made if count.number is not None}
    return max([len(named), *(count.examined or 1 for count in made)])


def group_counts(
    view: CaseView, groups: tuple[HostGroup, ...], upto: Moment | None = None
) -> tuple[GroupCount, ...]:
    """Return what every count says of a group, in the order of the case.

    A count whose group is not known is left out.

    Args:
        view: the case.
        groups: the fish a parasite meets.
        upto: counts made later than this moment are left out; None for every count.
    """
    return tuple(
        GroupCount(group, _number(count), count.method in WHOLE_FISH)
        for count in view.counts
        if (group := group_of(view, count, groups)) is not None
        and (upto is None or count.moment.utc <= upto.utc)
    )


def group_of(view: CaseView, count: CountMade, groups: tuple[HostGroup, ...]) -> str | None:
    """Return the group a count belongs to; None when that is not known."""
    ids = {group.id for group in groups}
    if count.group in view.stock:
        return count.group if count.group in ids else None
    if len(ids) == 1:
        return next(iter(ids))
    fish = (count.fish or "").lower()
    for name in sorted(ids, key=len, reverse=True):
        words = view.stock[name].description.name.lower().split() if name in view.stock else []
        last = words[-1].rstrip("s") if words else ""
        if fish and (name.replace("_", " ") in fish or (last and last in fish)):
            return name
    return None


def _sighting(
    view: CaseView, count: CountMade, groups: tuple[HostGroup, ...], zero: Moment
) -> Sighting | None:
    group = group_of(view, count, groups)
    if group is None or count.state != "answered":
        return None
    how = "scrape" if count.method in SCRAPES else "spots"
    hour = round(hours_between(zero, count.moment))
    if count.mean is not None:
        size = next(g.count for g in groups if g.id == group)
        return Sighting(hour, group, how, (float(count.mean),), "mean", count.examined or size)
    if count.number is not None:
        worst = WORST in (count.fish or "").lower()
        size = next(g.count for g in groups if g.id == group)
        seen = (float(count.number),)
        return Sighting(hour, group, how, seen, "worst" if worst else "each", size if worst else 1)
    if count.infected == 0 and count.examined:
        return Sighting(hour, group, how, (0.0,) * count.examined, "each", count.examined)
    return None


def _deaths(deaths: Iterable[Death], groups: tuple[HostGroup, ...], zero: Moment) -> list[Sighting]:
    """Return deaths by group since the day before; a death of an unnamed fish is left out."""
    ids = {group.id for group in groups}
    sightings_of_deaths = []
    for death in deaths:
        if death.group not in ids:
            continue
        hour = round(hours_between(zero, death.moment))
        sightings_of_deaths.append(
            Sighting(
                max(hour, 0), str(death.group), "deaths", (float(death.number),), "each", 1,
                max(hour - HOURS_PER_DAY, 0),
            )
        )  # fmt: skip
    return sightings_of_deaths


def _number(count: CountMade) -> float:
    if count.number is not None:
        return float(count.number)
    if count.mean is not None:
        return float(count.mean)
    return float(count.infected or 0)
