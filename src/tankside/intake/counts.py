"""From the counts of a case to sightings, days looked at, and what is believed at the start."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.case import CaseView
from tankside.case.done import Death
from tankside.case.seen import CountMade
from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.follow import Looked
from tankside.lifecycle import HostGroup, InitialState, Sighting
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import HOURS_PER_DAY

SCRAPES = ("skin_scrape", "fin_clip", "gill_clip", "other")
WORST = "worst"
UNSEEN = "practice.forecast.unseen_burden"
SPREAD = "practice.forecast.burden_spread"
CARRIERS = "practice.forecast.carriers"
WAVE_AGE = "practice.forecast.wave_age"
SEEN = ("trophont.visible_from", "seen.body_share", "seen.eye_detection")


def sightings(view: CaseView, groups: tuple[HostGroup, ...], zero: Moment) -> tuple[Sighting, ...]:
    """Return every count on fish of a known group, and the deaths, in order of time.

    A count that names no group stands for the only group, or for the one whose name it holds;
    where neither is so it is left out here (it still counts as a day looked at).
    """
    found: list[Sighting] = []
    for count in view.counts:
        sighting = _sighting(view, count, groups, zero)
        if sighting is not None:
            found.append(sighting)
    found += _deaths(view.deaths, groups, zero)
    return tuple(sorted(found, key=lambda sighting: sighting.hour))


def looks(view: CaseView, zero: Moment) -> tuple[Looked, ...]:
    """Return the days (from the day of ``zero``) on which fish were looked at."""
    return tuple(
        Looked((count.moment.day - zero.day).days, _number(count) > 0)
        for count in view.counts
        if count.state == "answered"
    )


def start_state(
    view: CaseView,
    groups: tuple[HostGroup, ...],
    organism: Organism,
    facts: Knowledge,
    upto: Moment,
    age: float | None = None,
) -> InitialState:
    """Return what is believed to be on the fish, from the counts made up to a moment.

    A count by eye stands for more than was seen: divided by the share of the stay in which a
    parasite can be seen, the share on skin and fins, and the share a person counts. A group that
    nobody counted carries from next to nothing up to what the most affected group is believed
    to carry.
    """
    per_fish: dict[str, tuple[float, float, float]] = {}
    spread = facts.number(SPREAD)
    for group in groups:
        burden = _burden(view, group, groups, organism, upto, one_wave=age is not None)
        if burden is not None:
            per_fish[group.id] = (max(1.0, burden / spread), max(1.0, burden), burden * spread)
    low, high = facts.claim(UNSEEN).bounds()
    known = list(per_fish.values())
    most = max((middle for _, middle, _ in known), default=high)
    others = (low, facts.number(UNSEEN), max(most, facts.number(UNSEEN)))
    carrying = facts.claim(CARRIERS)
    share = (carrying.bounds()[0], carrying.number(), carrying.bounds()[1])
    return InitialState(
        per_fish={group.id: per_fish.get(group.id, others) for group in groups},
        carriers={group.id: share for group in groups},
        age=age,
        steady_bottom=age is None,
    )


def most_affected(
    view: CaseView, groups: tuple[HostGroup, ...], start: InitialState
) -> tuple[str, ...]:
    """Return the groups, the one believed to carry most first; counted ones before the others."""
    counted = {group_of(view, count, groups) for count in view.counts if _number(count) > 0}
    ids = [group.id for group in groups]
    return tuple(sorted(ids, key=lambda g: (g not in counted, -start.per_fish[g][1])))


def _burden(
    view: CaseView,
    group: HostGroup,
    groups: tuple[HostGroup, ...],
    organism: Organism,
    upto: Moment,
    *,
    one_wave: bool,
) -> float | None:
    """Return the latest positive count of a group up to a moment, as parasites on the fish."""
    for count in reversed(view.counts):
        if count.moment.utc > upto.utc or group_of(view, count, groups) != group.id:
            continue
        seen = _number(count)
        if count.method in ("by_eye", "photo") and seen > 0:
            return seen / _share_seen(organism, one_wave=one_wave)
        if seen > 0 and organism.known("seen.scrape_share"):
            return seen / organism.claims["seen.scrape_share"].number()
    return None


def _share_seen(organism: Organism, *, one_wave: bool) -> float:
    """Return the share of the parasites on a fish that is counted by eye.

    In one wave all can be seen at once; where ages are spread, only those late in their stay.
    """
    if not all(organism.known(key) for key in SEEN):
        return 1.0
    visible_from, body, eye = (organism.claims[key].number() for key in SEEN)
    return body * eye * (1 if one_wave else 1 - visible_from)


def initial_states(
    view: CaseView,
    groups: tuple[HostGroup, ...],
    organism: Organism,
    facts: Knowledge,
    upto: Moment,
) -> tuple[InitialState, ...]:
    """Return the kinds of beginnings that a follow-up tries.

    An old outbreak with all ages, and single waves at several ages (as shares of the stay over).
    """
    low, high = facts.claim(WAVE_AGE).bounds()
    ages = (None, low, facts.number(WAVE_AGE), high)
    return tuple(start_state(view, groups, organism, facts, upto, age) for age in ages)


def group_of(view: CaseView, count: CountMade, groups: tuple[HostGroup, ...]) -> str | None:
    """Return the group a count belongs to; None when that is not known."""
    ids = {group.id for group in groups}
    if count.group in ids:
        return count.group
    if len(ids) == 1:
        return next(iter(ids))
    told = (count.fish or "").lower()
    for name in sorted(ids, key=len, reverse=True):
        words = view.stock[name].description.name.lower().split() if name in view.stock else []
        last = words[-1].rstrip("s") if words else ""
        if told and (name.replace("_", " ") in told or (last and last in told)):
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
    found = []
    for death in deaths:
        if death.group not in ids:
            continue
        hour = round(hours_between(zero, death.moment))
        found.append(
            Sighting(
                max(hour, 0), str(death.group), "deaths", (float(death.number),), "each", 1,
                max(hour - HOURS_PER_DAY, 0),
            )
        )  # fmt: skip
    return found


def _number(count: CountMade) -> float:
    if count.number is not None:
        return float(count.number)
    if count.mean is not None:
        return float(count.mean)
    return float(count.infected or 0)
