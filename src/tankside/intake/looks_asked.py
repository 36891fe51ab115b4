"""What a card asks to be looked at: what of this parasite can be seen, on the group seen worst."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from tankside.course import Course
from tankside.course.actions import Count
from tankside.course.actions.action import Action
from tankside.errors import NotPossible
from tankside.intake.assemble import Assembled, organism_of
from tankside.intake.counts import counted_words, group_of
from tankside.intake.parasite_looks import ParasiteLook, ParasiteLooks, looks_in
from tankside.lifecycle import HostGroup
from tankside.quantity.moment import Moment


def asked_as_seen(case: Assembled, course: Course, starts: Moment) -> Course:
    """Return a course whose looks ask for what can be seen, on the group seen worst by then.

    A course keeps the words and the group of the day it was chosen on; both may be known better
    since. Where nobody said which parasite it is, the course stays as it is.

    Args:
        case: the case at hour 0 of the course.
        course: as it is followed.
        starts: the moment of its hour 0.
    """
    if not any(isinstance(action, Count) for action in course.actions):
        return course
    try:
        organism = organism_of(case.view, case.facts, None, None)
    except NotPossible:
        return course
    seen = looks_in(case.view, case.facts, organism, (system.id for system in case.systems))
    actions = (_asked(seen, case.hosts, action, starts) for action in course.actions)
    return replace(course, actions=tuple(actions))


def worst_group(
    seen: ParasiteLooks, groups: tuple[HostGroup, ...], upto: Moment, usual: str
) -> str:
    """Return the group whose latest count shows most, as known at a moment.

    Only counts of one kind are held against each other: most on one fish, else a mean, else the
    share of fish that carry any. Where none is more than the others the usual group stays.

    Args:
        seen: the looks that speak of the parasite.
        groups: the fish a parasite meets.
        upto: counts made later are not used.
        usual: the group asked for otherwise.
    """
    made = [look for look in seen.upto(upto) if look.counted]
    for kind in ("number", "mean", "carrying"):
        latest = _latest((look for look in made if getattr(look, kind) is not None), seen, groups)
        if not latest or max(latest.values()) <= 0:
            continue
        most = max(latest.values())
        worst = sorted(group for group, amount in latest.items() if amount == most)
        return usual if usual in worst else worst[0]
    return usual


def _latest(
    counts: Iterable[ParasiteLook], seen: ParasiteLooks, groups: tuple[HostGroup, ...]
) -> dict[str, float]:
    """Return the most that the counts of the latest day of each group show."""
    latest: dict[str, tuple[object, float]] = {}
    for count in counts:
        group = group_of(seen.view, count, groups)
        if group is None:
            continue
        day_and_amount = (count.at.day, count.amount)
        before = latest.get(group)
        if before is None or day_and_amount > before:
            latest[group] = day_and_amount
    return {group: amount for group, (_, amount) in latest.items()}


def _asked(
    seen: ParasiteLooks, groups: tuple[HostGroup, ...], action: Action, starts: Moment
) -> Action:
    if not isinstance(action, Count):
        return action
    due = Moment((starts.when + timedelta(hours=action.at_h)).isoformat())
    group = worst_group(seen, groups, due, action.group)
    return replace(action, group=group, what=counted_words(seen, seen.organism.seen_by))
