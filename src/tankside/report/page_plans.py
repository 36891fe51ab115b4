"""The page that compares courses, and what of it can be chosen."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tankside.errors import Mistake
from tankside.intake.built_course import BUILT
from tankside.intake.plan_setup import PlanRequest
from tankside.plan import Progress, RaceRules, Sizes
from tankside.present.blocks import Document, Page, Words
from tankside.report.care_document import PLAN, care_document
from tankside.report.page import OpenCase, page_of
from tankside.report.plan_cards import PlansShown, plan_cards
from tankside.report.plan_text import plan_document
from tankside.report.refused import refused_block
from tankside.services.by_cause import plan_by_cause
from tankside.services.care_case import CareAnswer
from tankside.services.care_choice import care_names
from tankside.services.plan import PlanAnswer


@dataclass(frozen=True, slots=True)
class ComparedCourses:
    """What a comparison gave for one state of a case.

    Args:
        answer: the comparison; None when it is refused, or none is made for the cause.
        refused: why; None when there is a comparison.
        care: what is done where no course is simulated; None when there is a comparison.
    """

    answer: PlanAnswer | None
    refused: Mistake | None = None
    care: CareAnswer | None = None

    @property
    def names(self) -> tuple[tuple[str, str], ...]:
        """What each course is chosen by, and its name, in the order shown; none when not kept."""
        if self.care is not None:
            named = (offer.course.name for offer in self.care.offers)
            return tuple(zip(care_names(self.care), named, strict=True))
        if self.answer is None or self.answer.not_kept:
            return ()
        names = (course.candidate.name for course in self.answer.courses)
        return tuple(zip(self.answer.course_ids, names, strict=True))


ROUGH = Sizes(race=RaceRules(first=2, keep=2, most=2), final=20, ablated=0)
"""Histories of a first rough comparison: as many as there are marks."""
ROUGH_WORDS = Words(
    "A first rough answer",
    ("From 20 histories a course; the whole comparison is being worked out and replaces it.",),
    "ROUGH",
)


NOT_OFFERED = "The course you put together is not offered"


def compare_courses(
    case: OpenCase,
    progress: Progress | None = None,
    rough: Callable[[ComparedCourses], None] | None = None,
    wanted: PlanRequest | None = None,
) -> ComparedCourses:
    """Compare courses for the case as it stands; takes many seconds, and refuses nothing.

    Args:
        case: the case.
        progress: told how far each long step has come.
        rough: handed a first rough comparison as soon as there is one.
        wanted: what is asked of it; None for what every case is asked.
    """
    reference, wanted = case.stored.reference, wanted or PlanRequest()
    try:
        if rough is not None and not isinstance(
            early := plan_by_cause(reference, wanted, progress, ROUGH), CareAnswer
        ):
            rough(ComparedCourses(early))
        answer = plan_by_cause(reference, wanted, progress)
    except Mistake as missing:
        return ComparedCourses(None, missing)
    if isinstance(answer, CareAnswer):
        return ComparedCourses(None, None, answer)
    return ComparedCourses(answer)


def plans_page(compared: ComparedCourses | None, *, is_rough: bool = False) -> Page:
    """Return the comparison.

    Args:
        compared: what ``compare_courses`` gave; None while it is still being worked out.
        is_rough: whether it is a first rough one.
    """
    if compared is None:
        note = "Courses are being compared; leaving the page stops nothing."
        return page_of("plans", Document("Plans", (Words("Being worked out", (note,), "WAIT"),)))
    if compared.care is not None:
        document = care_document(compared.care, PLAN)
        return page_of("plans", document)
    if compared.answer is None:
        assert compared.refused is not None
        return page_of("plans", Document("Plans", (refused_block(compared.refused),)))
    return page_of("plans", _document(compared.answer, is_rough=is_rough))


def plans_shown(compared: ComparedCourses | None, *, is_rough: bool = False) -> PlansShown | None:
    """Return the comparison as cards; None while there is nothing to compare."""
    if compared is None or compared.answer is None:
        return None
    return plan_cards(_document(compared.answer, is_rough=is_rough))


def _document(answer: PlanAnswer, *, is_rough: bool) -> Document:
    document = plan_document(answer)
    head = (*((ROUGH_WORDS,) if is_rough else ()), *_refused_yours(answer))
    return Document("Plans", (*head, *document.blocks), document.lead)


def _refused_yours(answer: PlanAnswer) -> Iterator[Words]:
    """Say why a course that was put together by hand is not among those compared."""
    for blocked in answer.comparison.blocked:
        if blocked.kind == BUILT:
            lines = (f"{c.words} {c.why} {c.what_instead}".strip() for c in blocked.reasons)
            yield Words(NOT_OFFERED, tuple(lines), "YOURS")
