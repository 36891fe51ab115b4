"""The page of what fits; the order with reasons stays folded until the own idea is written."""

from __future__ import annotations

from tankside.errors import Mistake
from tankside.present.blocks import Document, Page
from tankside.report.differential_text import TITLE, case_differential_document
from tankside.report.page import OpenCase, page_of
from tankside.report.refused import refused_block
from tankside.services.differential_case import differential_of


def fits_page(case: OpenCase) -> Page:
    """Return the differential of the case, or what it lacks."""
    try:
        answer = differential_of(case.stored.reference)
    except Mistake as missing:
        return page_of("fits", Document(TITLE, (refused_block(missing),)))
    before = not (answer.own_idea or answer.confirmed)
    return page_of("fits", case_differential_document(answer, before_own_idea=before))
