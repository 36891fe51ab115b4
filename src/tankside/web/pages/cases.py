"""The list of cases in the folder."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from tankside.report.case_show import list_cases

router = APIRouter()


@router.get("/", response_class=HTMLResponse)
def show_cases(request: Request) -> HTMLResponse:
    """List the cases."""
    found = list_cases(request.app.state.folder)
    template = request.app.state.templates.get_template("cases.html")
    return HTMLResponse(template.render(here="cases", cases=found))
