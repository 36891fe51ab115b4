"""An amount worked out from the case as it stands, with its sum; nothing is written."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from tankside.errors import Mistake
from tankside.report.amount_page import ASKED, ROUTES, agent_names, amount_page
from tankside.report.page import open_case, strip
from tankside.web.contexts import AmountContext
from tankside.web.pages.find import find_case
from tankside.web.pages.refused import status_of
from tankside.web.render import case_base, html

router = APIRouter(prefix="/case/{file}")
LONGEST = 300


@router.get("/amount", response_class=HTMLResponse)
def show_amount(request: Request, file: str) -> HTMLResponse:
    """Ask what is to be weighed, and show the amount or why there is none."""
    case = open_case(find_case(request, file))
    query = request.query_params
    asked = {name: query.get(name, "")[:LONGEST] for name in ASKED}
    answer = amount_page(case.view, asked)
    mistake = answer if isinstance(answer, Mistake) else None
    waters = [(system.id, system.name) for system in case.view.systems.values()]
    context = AmountContext(
        "amount", case_base(file), strip(case), asked,
        None if isinstance(answer, Mistake) else answer, waters, agent_names(), ROUTES, mistake,
    )  # fmt: skip
    return html(request, context, 200 if mistake is None else status_of(mistake))
