"""The list of cases in the folder."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from tankside.services.case_list import list_cases
from tankside.web.contexts import CasesContext
from tankside.web.render import html

router = APIRouter()


@router.get("/", response_class=HTMLResponse)
def show_cases(request: Request) -> HTMLResponse:
    """List the cases."""
    return html(request, CasesContext("cases", list_cases(request.app.state.folder)))
