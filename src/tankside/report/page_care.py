"""The page of the day of a case that follows no course: the card of its care."""

from __future__ import annotations

from tankside.present.blocks import Page
from tankside.report.care_document import TODAY, care_document
from tankside.report.page import page_of
from tankside.services.care_case import CareAnswer


def care_page(answer: CareAnswer) -> Page:
    """Return the card of the care of a case as its page of the day."""
    return page_of("day", care_document(answer, TODAY))
