"""The page that compares courses: so many of 20 runs, fish lost, days, work, what is blocked."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.course import Level
from tankside.errors import Mistake
from tankside.intake.plan_setup import Asked
from tankside.lifecycle import opposite
from tankside.plan import Compared
from tankside.present.blocks import Block, Page, Rows, Runs, Words
from tankside.present.table import Table
from tankside.report.page import OpenCase
from tankside.report.plan_text import lost_words
from tankside.services.plan import NOT_VALIDATED, Planned, plan

HOW = "To choose one, with the label and the scale at hand: tankside plan CASE --choose K."


def plans_page(worked_out: tuple[Block, ...] | None) -> Page:
    """Return the comparison.

    Args:
        worked_out: what ``compare_courses`` gave; None while it is still being worked out.
    """
    if worked_out is None:
        note = "Courses are being compared. This page reloads itself."
        return Page("plans", "Plans", "", (Words("Being worked out", (note,), "WAIT"),))
    return Page("plans", "Plans", f"{NOT_VALIDATED} {HOW}", worked_out)


def compare_courses(case: OpenCase) -> tuple[Block, ...]:
    """Compare courses for the case as it stands; takes many seconds.

    What cannot be worked out is told in words; nothing is raised.
    """
    try:
        return tuple(_blocks(plan(case.stored.path, Asked())))
    except Mistake as missing:
        return (Words(missing.message, (missing.next_step,), missing.code),)


def _blocks(planned: Planned) -> Iterable[Block]:
    courses = planned.courses
    rows = tuple(_marks(compared) for compared in courses)
    yield Runs("Clear in the end", rows, "Each mark is one of 20 simulated runs like this tank.")
    head = ("course", "clear", "fish lost", "days", "minutes a day")
    cells = tuple(_row(compared) for compared in courses)
    yield Rows("Side by side", Table("compared courses", head, cells))
    care = _care(courses)
    if care:
        yield Words("Take care", care, "CARE")
    stopped = tuple(
        f"{blocked.kind.replace('_', ' ')}: {reason.words} {reason.why}"
        for blocked in planned.comparison.blocked
        for reason in blocked.reasons
    )
    if stopped:
        yield Words("Not offered, and why", stopped, "BLOCKED")
    if planned.case.questions:
        yield Words("Not known", tuple(planned.case.questions.values()), "GAP")


def _marks(compared: Compared) -> tuple[str, int, str]:
    clear = compared.score.clear
    words = f"clear in {clear.words}, not clear in {opposite(clear).words}"
    return (compared.candidate.name, clear.number, words)


def _care(courses: Iterable[Compared]) -> tuple[str, ...]:
    """Return each caution once, with the courses it belongs to."""
    found: dict[str, list[str]] = {}
    for compared in courses:
        for caution in compared.run.safety:
            if caution.level is Level.CARE:
                names = found.setdefault(f"{caution.words} {caution.what_instead}", [])
                if compared.candidate.name not in names:
                    names.append(compared.candidate.name)
    return tuple(f"{words} ({'; '.join(names)})" for words, names in found.items())


def _row(compared: Compared) -> tuple[str, ...]:
    reached = compared.score
    work = reached.work_min_per_day
    return (
        compared.candidate.name,
        reached.clear.words,
        lost_words(reached),
        str(reached.days),
        "not known" if work is None else f"{work:.0f}",
    )
