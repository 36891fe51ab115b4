"""What a card asks to be looked at: what of this parasite can be seen, on the group seen worst."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from tankside.case import CaseView
from tankside.case.seen import CountMade
from tankside.claims import Knowledge
from tankside.course import Course
from tankside.course.actions import Count
from tankside.course.actions.action import Action
from tankside.errors import NotPossible
from tankside.intake.assemble import Assembled, organism_of
from tankside.intake.counts import counted_words, group_of
from tankside.lifecycle import HostGroup
from tankside.quantity.moment import Moment


def asked_as_seen(case: Assembled, course: Course, starts: Moment) -> Course:
    """Return a course whose looks ask for what can be seen, on the group seen worst by then.

    A course keeps the words and the group of the day it was chosen on; both may be known better
    since.

    Args:
        case: the case at hour 0 of the course.
        course: as it is followed.
        starts: the moment of its hour 0.
    """
    if not any(isinstance(action, Count) for action in course.actions):
        return course
    what = _what(case.view, case.facts)
    actions = (_asked(case, action, what, starts) for action in course.actions)
    return replace(course, actions=tuple(actions))


def worst_group(view: CaseView, groups: tuple[HostGroup, ...], upto: Moment, usual: str) -> str:
    """Return the group whose latest count shows most, as known at a moment.

    Only counts of one kind are held against each other: most on one fish, else a mean, else the
    share of fish that carry any. Where none is more than the others the usual group stays.

    Args:
        view: the case.
        groups: the fish a parasite meets.
        upto: counts made later are not used.
        usual: the group asked for otherwise.
    """
    made = [c for c in view.counts if c.state == "answered" and c.moment.utc <= upto.utc]
    for kind in ("number", "mean", "infected"):
        latest = _latest((c for c in made if getattr(c, kind) is not None), view, groups)
        if not latest or max(latest.values()) <= 0:
            continue
        most = max(latest.values())
        worst = sorted(group for group, seen in latest.items() if seen == most)
        return usual if usual in worst else worst[0]
    return usual


def _latest(
    counts: Iterable[CountMade], view: CaseView, groups: tuple[HostGroup, ...]
) -> dict[str, float]:
    """Return the most that the counts of the latest day of each group show."""
    latest: dict[str, tuple[object, float]] = {}
    for count in counts:
        group = group_of(view, count, groups)
        if group is None:
            continue
        day, seen = count.moment.day, number_seen(count)
        before = latest.get(group)
        if before is None or (day, seen) > before:
            latest[group] = (day, seen)
    return {group: seen for group, (_, seen) in latest.items()}


def number_seen(count: CountMade) -> float:
    """Return what a count shows: a number, a mean, or the share of fish that carry any."""
    if count.number is not None:
        return float(count.number)
    if count.mean is not None:
        return float(count.mean)
    return (count.infected or 0) / (count.examined or 1)


def _what(view: CaseView, facts: Knowledge) -> str | None:
    """Return what is asked for; None where nobody said which parasite it is."""
    try:
        return counted_words(view, organism_of(view, facts, None, None).seen_by)
    except NotPossible:
        return None


def _asked(case: Assembled, action: Action, what: str | None, starts: Moment) -> Action:
    if not isinstance(action, Count):
        return action
    due = Moment((starts.when + timedelta(hours=action.at_h)).isoformat())
    group = worst_group(case.view, case.hosts, due, action.group)
    return replace(action, group=group, what=what or action.what)
