"""What fits: the own idea first, then the order with reasons, and the sitting to do next."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from tankside.errors import Mistake
from tankside.report.differential_words import IDEA_SHOWN_BY
from tankside.report.page import open_case, paper_of, strip
from tankside.report.page_fits import cause_names, fits_page, fits_shown
from tankside.web.contexts import FitsContext, PageContext
from tankside.web.pages.find import find_case
from tankside.web.render import case_base, html

router = APIRouter(prefix="/case/{file}")


@router.get("/fits", response_class=HTMLResponse)
def show_fits(request: Request, file: str) -> HTMLResponse:
    """Show what fits, or what the case lacks for it."""
    case, base = open_case(find_case(request, file)), case_base(file)
    page = fits_shown(case)
    if isinstance(page, Mistake):
        return html(request, PageContext("fits", base, strip(case), fits_page(case), True, None))
    return html(request, FitsContext("fits", base, strip(case), page, cause_names(), IDEA_SHOWN_BY))


@router.get("/fits.pdf")
def show_fits_on_paper(request: Request, file: str) -> Response:
    """Return what fits as a PDF."""
    case = open_case(find_case(request, file))
    return Response(paper_of(case, fits_page(case)), media_type="application/pdf")
