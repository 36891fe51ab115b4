"""The earliest day of a stop as every page of a case says it: follow-up, plan, forecast, case."""

from __future__ import annotations

from datetime import date, timedelta

from tankside.case import CaseView
from tankside.follow import NotBefore, Waits, not_before
from tankside.intake.assemble import midnight
from tankside.intake.chosen_course import chosen
from tankside.intake.counts import looks
from tankside.intake.parasite_looks import ParasiteLooks
from tankside.intake.plan_ended import plan_ended_by
from tankside.lifecycle import StageDurations, printed_tail

LEAST_WAIT = "practice.follow.least_wait"


def stop_date(seen: ParasiteLooks, stage_durations: StageDurations, asked_on: date) -> NotBefore:
    """Return the earliest day on which a stop may be discussed, the latest of its named dates.

    Args:
        seen: the looks that speak of the parasite.
        stage_durations: its stays at the temperature measured.
        asked_on: the day it is asked on.
    """
    view, facts, first = seen.view, seen.facts, seen.view.opened.moment.day
    waits = Waits(
        house_d=round(facts.number(LEAST_WAIT)),
        tail=printed_tail(seen.organism.id, facts, stage_durations.temperature_c),
        course_ends=_course_ends(view),
    )
    counted = looks(seen, midnight(view, first))
    return not_before(counted, stage_durations, (asked_on - first).days, waits)


def _course_ends(view: CaseView) -> int | None:
    """Return the day of the case on which the course that is followed ends; None without one."""
    if view.course is None or not view.course.course:
        return None
    picked = chosen(view)
    if plan_ended_by(view.decisions, picked.entry) is not None:
        return None
    last = picked.starts.day + timedelta(days=picked.course.days - 1)
    return (last - view.opened.moment.day).days
