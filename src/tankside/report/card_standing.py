"""Why a card may not be followed any more, in words."""

from __future__ import annotations

from tankside.case.wording import plain
from tankside.quantity.dates import day_words, entry_moment_words
from tankside.quantity.moment import Moment
from tankside.report.case_words import closed_words
from tankside.services.today import TodayAnswer

NEW_CARD = "Ask for a new card."
NEW_PLAN = "Give nothing more of it. Count, and make a new plan if something is left."
NOTHING = "Do nothing of this."


def standing_words(answer: TodayAnswer) -> tuple[str, ...]:
    """Say what makes the card of a day void; empty while it holds."""
    standing, view = answer.standing, answer.stored.view()
    reasons = []
    if view.closed is not None:
        reasons.append(
            f"{closed_words(view)} on {entry_moment_words(view.closed.moment)}. {NOTHING}"
        )
    if standing.decided is not None:
        entry = standing.decided
        said = f"{plain(entry.what)}, because: {entry.reason.rstrip('.')}"
        reasons.append(
            f"A newer entry of {entry_moment_words(entry.moment)} decided: {said}. {NOTHING}"
        )
    if standing.course_ended is not None:
        ended = day_words(standing.course_ended)
        reasons.append(f"The course ended on {ended}. {NEW_PLAN}")
    elif standing.is_past:
        reasons.append(f"This is the card of a day that is past. {NEW_CARD}")
    return tuple(reasons)


def void_since(answer: TodayAnswer) -> Moment | None:
    """Return the moment from which no step of the plan is done; None while it is followed."""
    ended_by = (answer.stored.view().closed, answer.standing.decided)
    moments = (entry.moment for entry in ended_by if entry is not None)
    return min(moments, key=lambda moment: moment.utc, default=None)
