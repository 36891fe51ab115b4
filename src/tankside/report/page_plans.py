"""The page that compares courses, and what of it can be chosen."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.errors import Mistake
from tankside.intake.plan_setup import PlanRequest
from tankside.present.blocks import Document, Page, Words
from tankside.report.page import OpenCase, page_of
from tankside.report.plan_text import plan_document
from tankside.report.refused import refused_block
from tankside.services.plan import PlanAnswer, plan


@dataclass(frozen=True, slots=True)
class ComparedCourses:
    """What a comparison gave for one state of a case.

    Args:
        answer: the comparison; None when it is refused.
        refused: why; None when there is a comparison.
    """

    answer: PlanAnswer | None
    refused: Mistake | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the courses that can be chosen, in the order shown."""
        return () if self.answer is None else tuple(c.candidate.name for c in self.answer.courses)


def compare_courses(case: OpenCase) -> ComparedCourses:
    """Compare courses for the case as it stands; takes many seconds, and raises nothing."""
    try:
        return ComparedCourses(plan(case.stored.reference, PlanRequest()))
    except Mistake as missing:
        return ComparedCourses(None, missing)


def plans_page(compared: ComparedCourses | None) -> Page:
    """Return the comparison.

    Args:
        compared: what ``compare_courses`` gave; None while it is still being worked out.
    """
    if compared is None:
        note = "Courses are being compared. This page reloads itself; leaving it stops nothing."
        return page_of("plans", Document("Plans", (Words("Being worked out", (note,), "WAIT"),)))
    if compared.answer is None:
        assert compared.refused is not None
        return page_of("plans", Document("Plans", (refused_block(compared.refused),)))
    document = plan_document(compared.answer)
    return page_of("plans", Document("Plans", (Words("", (document.lead,)), *document.blocks)))
