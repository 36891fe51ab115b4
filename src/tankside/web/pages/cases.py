"""The list of cases in the folder, by urgency."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from tankside.intake import clock
from tankside.quantity.dates import day_words
from tankside.report.board import board_page
from tankside.services.records_lookup import LONGEST_SEARCH
from tankside.web.contexts import CasesContext
from tankside.web.render import html

router = APIRouter()


@router.get("/", response_class=HTMLResponse)
def show_cases(request: Request, q: str = "") -> HTMLResponse:
    """List the cases, or those that hold the words searched for."""
    sought = q.strip()[:LONGEST_SEARCH]
    page = board_page(request.app.state.shelf.board.listed(sought), sought)
    return html(request, CasesContext("cases", page, day_words(clock.now().date())))
