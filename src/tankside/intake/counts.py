"""From the looks that speak of a parasite to sightings, days looked at and counts by group."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.case import CaseView
from tankside.case.done import Death
from tankside.course.actions import look_for
from tankside.follow import DayLooked, GroupCount
from tankside.intake.parasite_looks import ParasiteLook, ParasiteLooks
from tankside.lifecycle import HostGroup, Sighting
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import HOURS_PER_DAY

WORST = "worst"
DUST = "dust"
"""What a parasite is seen by that is too fine to count on a fish."""
ANIMALS = "animals"
"""What a parasite is seen by that is big enough to be counted one by one on the whole fish."""


def sightings(
    seen: ParasiteLooks, groups: tuple[HostGroup, ...], zero: Moment
) -> tuple[Sighting, ...]:
    """Return every look at fish of a known group, and the deaths, in order of time.

    A look that names no group stands for the only group, or for the one whose name it holds;
    where neither is so it is left out here (it still counts as a day looked at).

    Args:
        seen: the looks that speak of the parasite.
        groups: the fish a parasite meets.
        zero: the moment of hour 0.
    """
    counted = (_sighting(seen.view, look, groups, zero) for look in seen.looks)
    sighted = [sighting for sighting in counted if sighting is not None]
    deaths = _deaths(seen.view.deaths_by_group, groups, zero)
    return tuple(sorted([*sighted, *deaths], key=lambda sighting: sighting.hour))


def looks(seen: ParasiteLooks, zero: Moment) -> tuple[DayLooked, ...]:
    """Return the days (from the day of ``zero``) on which fish were looked at."""
    return tuple(DayLooked((look.at.day - zero.day).days, look.seen) for look in seen.looks)


def counted_words(seen: ParasiteLooks, seen_by: str) -> str:
    """Return what the next count is to be of, as the latest one of the parasite was made.

    Dust is too fine to be counted by eye, so it is asked for as it can be seen.

    Args:
        seen: the looks that speak of the parasite.
        seen_by: how the parasite is seen, where nobody has counted yet.
    """
    made = {look.entry_id: look for look in seen.looks if look.counted}
    counts = [count for count in seen.view.counts if count.id in made]
    if not counts:
        return look_for(seen_by)
    latest = max(counts, key=lambda count: (count.moment.utc, count.id))
    what = latest.what.replace("_", " ")
    if made[latest.id].by_eye:
        if seen_by == DUST:
            return look_for(seen_by)
        return f"{what} on the worst fish"
    if latest.method == "other":
        return f"{what} as before"
    return f"{what} in a {latest.method.replace('_', ' ')} of a live fish"


def fish_examined(seen: ParasiteLooks, day: int) -> int:
    """Return how many fish the looks of one day of the case examined, at least.

    Fish that bear one name or stand for one group are one fish; a look at n examined n.
    """
    first = seen.view.opened.moment.day
    made = [look for look in seen.looks if (look.at.day - first).days == day]
    named = {look.fish or look.group for look in made if look.number is not None}
    return max([len(named), *(look.examined or 1 for look in made)])


def group_counts(
    seen: ParasiteLooks, groups: tuple[HostGroup, ...], upto: Moment | None = None
) -> tuple[GroupCount, ...]:
    """Return what every look says of a group, in the order of the case.

    A look at fish of no known group is left out.

    Args:
        seen: the looks that speak of the parasite.
        groups: the fish a parasite meets.
        upto: looks later than this moment are left out; None for every look.
    """
    first = seen.view.opened.moment.day
    counted = []
    for look in seen.upto(upto):
        group = group_of(seen.view, look, groups)
        if group is None or not look.counted:
            continue
        day = (look.at.day - first).days
        if look.carrying is not None:
            of_fish = look.examined or look.carrying
            counted.append(GroupCount(group, look.carrying, look.by_eye, day, of_fish))
        else:
            counted.append(
                GroupCount(group, float(look.number or look.mean or 0), look.by_eye, day)
            )
    return tuple(counted)


def group_of(view: CaseView, look: ParasiteLook, groups: tuple[HostGroup, ...]) -> str | None:
    """Return the group a look belongs to; None when that is not known."""
    ids = {group.id for group in groups}
    if look.group in view.stock:
        return look.group if look.group in ids else None
    if len(ids) == 1:
        return next(iter(ids))
    fish = look.fish.lower()
    for name in sorted(ids, key=len, reverse=True):
        words = view.stock[name].description.name.lower().split() if name in view.stock else []
        last = words[-1].rstrip("s") if words else ""
        if fish and (name.replace("_", " ") in fish or (last and last in fish)):
            return name
    return None


def _sighting(
    view: CaseView, look: ParasiteLook, groups: tuple[HostGroup, ...], zero: Moment
) -> Sighting | None:
    group = group_of(view, look, groups)
    if group is None or not look.counted:
        return None
    how = "spots" if look.by_eye else "scrape"
    hour = round(hours_between(zero, look.at))
    size = next(g.count for g in groups if g.id == group)
    if look.mean is not None:
        return Sighting(hour, group, how, (look.mean,), "mean", look.examined or size)
    if look.number is not None:
        worst = WORST in look.fish.lower()
        seen = (float(look.number),)
        return Sighting(hour, group, how, seen, "worst" if worst else "each", size if worst else 1)
    if look.carrying and look.examined:
        return Sighting(hour, group, how, (float(look.carrying),), "carrying", look.examined)
    if look.examined:
        return Sighting(hour, group, how, (0.0,) * look.examined, "each", look.examined)
    return None


def _deaths(deaths: Iterable[Death], groups: tuple[HostGroup, ...], zero: Moment) -> list[Sighting]:
    """Return deaths by group since the day before; those of no fish it meets are left out."""
    ids = {group.id for group in groups}
    dead: dict[tuple[int, str], int] = {}
    for death in deaths:
        if death.group in ids:
            at = (max(round(hours_between(zero, death.moment)), 0), str(death.group))
            dead[at] = dead.get(at, 0) + death.number
    return [
        Sighting(hour, group, "deaths", (float(number),), "each", 1, max(hour - HOURS_PER_DAY, 0))
        for (hour, group), number in sorted(dead.items())
    ]
