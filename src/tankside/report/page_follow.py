"""The page of the follow-up: the answer of ``tankside follow``, the figures, every count."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.errors import Mistake
from tankside.intake.follow_setup import FollowRequest
from tankside.plan import Progress
from tankside.present.blocks import Block, Drawing, Page, Words
from tankside.report.care_document import FOLLOW, care_document
from tankside.report.follow_document import follow_document, wait_block
from tankside.report.page import OpenCase
from tankside.report.page_forecast import in_print
from tankside.report.refused import refused_block
from tankside.report.seen import count_and_death_blocks
from tankside.services.by_cause import follow_by_cause
from tankside.services.care_case import CareAnswer
from tankside.services.earliest_stop import earliest_stop

AT_WORK = Words(
    "Being worked out",
    ("Histories are being played against the counts. Leaving the page stops nothing.",),
    "WAIT",
)


def follow_page(
    case: OpenCase, answer: tuple[Block, ...] | None, forecast: tuple[Block, ...] | None
) -> Page:
    """Return the follow-up of the case.

    Args:
        case: the case.
        answer: what ``follow_blocks`` gave; None while it is still being worked out.
        forecast: what ``forecast_blocks`` gave; None while it is still being worked out. Its
            figures show the counts against what was to be expected.
    """
    blocks = (_wait(case.view), AT_WORK) if answer is None else answer
    figures = (block for block in forecast or () if isinstance(block, Drawing))
    return Page("follow", "Follow-up", "", (*blocks, *figures, *count_and_death_blocks(case.view)))


def follow_blocks(case: OpenCase, progress: Progress | None = None) -> tuple[Block, ...]:
    """Hold the counts against the course; takes seconds.

    What cannot be worked out is told in words; nothing is raised.
    """
    try:
        answer = follow_by_cause(case.stored.reference, FollowRequest(), progress)
    except Mistake as mistake:
        refused = dict.fromkeys((_wait(case.view), refused_block(mistake)))
        return (*refused, *in_print(case))
    if isinstance(answer, CareAnswer):
        document = care_document(answer, FOLLOW)
        return (Words("", (document.title,)), *_date(case.view), *document.blocks)
    document = follow_document(answer)
    return (Words("", (document.title,)), *document.blocks)


def _date(view: CaseView) -> tuple[Words, ...]:
    """Return the date to wait for where counts give one; it needs no histories."""
    try:
        return (wait_block(earliest_stop(view), view.opened.moment.day),)
    except Mistake:
        return ()


def _wait(view: CaseView) -> Words:
    """Return the date to wait for, which needs no histories."""
    try:
        return wait_block(earliest_stop(view), view.opened.moment.day)
    except Mistake as mistake:
        return refused_block(mistake)
