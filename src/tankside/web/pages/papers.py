"""Papers about a case: the record, and what is written for keeper, laboratory and new fish."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from tankside.present.blocks import Page
from tankside.report.letters import letter_document
from tankside.report.page import OpenCase, open_case, page_of, paper_of, strip
from tankside.report.record import record_document
from tankside.services.letters import ALL_CLEAR, LABORATORY, QUARANTINE, letter
from tankside.web.contexts import PapersContext
from tankside.web.pages.find import find_case
from tankside.web.render import case_base, html

router = APIRouter(prefix="/case/{file}")
RECORD, LETTERS = "record", "letter"
LETTER_NAMES = {
    ALL_CLEAR: "To the keeper",
    LABORATORY: "To the vet and the laboratory",
    QUARANTINE: "For whoever holds the animals",
}


@router.get("/record", response_class=HTMLResponse)
def show_record(request: Request, file: str) -> HTMLResponse:
    """Show the record of a case."""
    case = open_case(find_case(request, file))
    return _shown(request, file, case, page_of(RECORD, record_document(case)))


@router.get("/record.pdf")
def show_record_on_paper(request: Request, file: str) -> Response:
    """Return the record of a case as a PDF."""
    case = open_case(find_case(request, file))
    return _paper(case, page_of(RECORD, record_document(case)))


@router.get("/letter/{kind}.pdf")
def show_letter_on_paper(request: Request, file: str, kind: str) -> Response:
    """Return a letter about a case as a PDF."""
    case = open_case(find_case(request, file))
    return _paper(case, _letter(case, kind))


@router.get("/letter/{kind}", response_class=HTMLResponse)
def show_letter(request: Request, file: str, kind: str) -> HTMLResponse:
    """Show a letter about a case."""
    case = open_case(find_case(request, file))
    return _shown(request, file, case, _letter(case, kind))


def _letter(case: OpenCase, kind: str) -> Page:
    document = letter_document(letter(case.stored.reference, kind))
    title, _, _ = document.title.partition(": ")
    return Page(f"{LETTERS}/{kind}", LETTER_NAMES[kind], f"{title}.", document.blocks)


def _shown(request: Request, file: str, case: OpenCase, page: Page) -> HTMLResponse:
    base, kind = case_base(file), page.key.removeprefix(f"{LETTERS}/")
    return html(request, PapersContext(RECORD, base, strip(case), page, True, None, kind))


def _paper(case: OpenCase, page: Page) -> Response:
    return Response(paper_of(case, page), media_type="application/pdf")
