"""The page that compares courses: the document of the comparison, once it is worked out."""

from __future__ import annotations

from tankside.errors import Mistake
from tankside.intake.plan_setup import PlanRequest
from tankside.present.blocks import Block, Document, Page, Words
from tankside.report.page import OpenCase, page_of
from tankside.report.plan_text import plan_document
from tankside.report.refused import refused_block
from tankside.services.plan import plan


def plans_page(worked_out: tuple[Block, ...] | None) -> Page:
    """Return the comparison.

    Args:
        worked_out: what ``compare_courses`` gave; None while it is still being worked out.
    """
    if worked_out is None:
        note = "Courses are being compared. This page reloads itself."
        worked_out = (Words("Being worked out", (note,), "WAIT"),)
    return page_of("plans", Document("Plans", worked_out))


def compare_courses(case: OpenCase) -> tuple[Block, ...]:
    """Compare courses for the case as it stands; takes many seconds.

    What cannot be worked out is told in words; nothing is raised.
    """
    try:
        document = plan_document(plan(case.stored.reference, PlanRequest()))
    except Mistake as missing:
        return (refused_block(missing),)
    return (Words("", (document.lead,)), *document.blocks)
