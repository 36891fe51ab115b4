"""The page of what fits; the order with reasons stays folded until the own idea is written."""

from __future__ import annotations

from tankside.errors import Mistake
from tankside.library.diagnosis_files import load_diagnosis
from tankside.present.blocks import Document, Page
from tankside.report.differential_text import TITLE, case_differential_document
from tankside.report.fits_cards import FitsPage, fits_cards
from tankside.report.page import OpenCase, page_of
from tankside.report.refused import refused_block
from tankside.services.differential_case import differential_of


def fits_shown(case: OpenCase) -> FitsPage | Mistake:
    """Return what fits the case as the page shows it, or why it cannot be ranked."""
    try:
        answer = differential_of(case.stored.reference)
    except Mistake as missing:
        return missing
    return fits_cards(answer)


def cause_names() -> tuple[str, ...]:
    """Return the names of the causes on the list, to be chosen from."""
    conditions = load_diagnosis().conditions.values()
    return tuple(sorted(cause.name for cause in conditions if cause.listed))


def fits_page(case: OpenCase) -> Page:
    """Return the differential of the case, or what it lacks."""
    try:
        answer = differential_of(case.stored.reference)
    except Mistake as missing:
        return page_of("fits", Document(TITLE, (refused_block(missing),)))
    before = not (answer.own_idea or answer.confirmed)
    return page_of("fits", case_differential_document(answer, before_own_idea=before))
