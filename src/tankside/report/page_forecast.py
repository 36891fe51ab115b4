"""The page of the forecast: the figures, then the answer of ``tankside forecast``."""

from __future__ import annotations

from tankside.errors import Mistake
from tankside.intake.forecast_setup import ForecastRequest
from tankside.plan import Progress
from tankside.present.blocks import Block, Page, Words
from tankside.report.care_document import FORECAST, care_document
from tankside.report.forecast_document import forecast_document
from tankside.report.forecast_drawings import forecast_drawings
from tankside.report.page import OpenCase
from tankside.report.published_dates import dates_document
from tankside.report.refused import refused_block
from tankside.services.by_cause import forecast_by_cause
from tankside.services.care_case import CareAnswer
from tankside.services.published_dates import published_dates

AT_WORK = Words(
    "Being worked out",
    ("Histories of every course are being played. Leaving the page stops nothing.",),
    "WAIT",
)


def forecast_page(answer: tuple[Block, ...] | None) -> Page:
    """Return the forecast of the case.

    Args:
        answer: what ``forecast_blocks`` gave; None while it is still being worked out.
    """
    return Page("forecast", "Forecast", "", (AT_WORK,) if answer is None else answer)


def forecast_blocks(case: OpenCase, progress: Progress | None = None) -> tuple[Block, ...]:
    """Foretell the course; takes seconds.

    What cannot be foretold is told in words, with the dates that print gives; nothing is raised.
    """
    try:
        answer = forecast_by_cause(case.stored.reference, ForecastRequest(), progress)
    except Mistake as mistake:
        return (refused_block(mistake), *in_print(case))
    if isinstance(answer, CareAnswer):
        return care_document(answer, FORECAST).blocks
    document = forecast_document(answer, everything=True)
    head = Words("", (document.title, document.lead))
    return (head, *forecast_drawings(answer), *document.blocks)


def in_print(case: OpenCase) -> tuple[Block, ...]:
    """Return the dates that print supports where figures for a forecast are missing."""
    answer = published_dates(case.stored.reference, None)
    if answer is None or not answer.missing or not answer.dated:
        return ()
    document = dates_document(answer)
    return (Words("", (document.title,)), *document.blocks)
