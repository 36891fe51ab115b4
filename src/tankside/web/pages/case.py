"""The pages of one case: story, tank, water, what fits, course, follow-up; also on paper."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.present.blocks import Page
from tankside.report.course import course_document
from tankside.report.page import OpenCase, open_case, page_of, paper_of, strip
from tankside.report.page_fits import fits_page
from tankside.report.page_follow import follow_blocks, follow_page
from tankside.report.page_forecast import forecast_blocks, forecast_page
from tankside.report.story import story_document
from tankside.report.tank import tank_document
from tankside.report.tank_water import water_document
from tankside.web.contexts import PageContext
from tankside.web.pages.find import find_case
from tankside.web.render import case_base, html

router = APIRouter(prefix="/case/{file}")
RENEW_S = "4"
AT_ONCE: dict[str, Callable[[OpenCase], Page]] = {
    "story": lambda case: page_of("story", story_document(case)),
    "tank": lambda case: page_of("tank", tank_document(case)),
    "water": lambda case: page_of("water", water_document(case)),
    "fits": fits_page,
    "course": lambda case: page_of("course", course_document(case)),
}
"""Pages that are made while one waits for them; forecast and follow-up are worked out apart."""


@router.get("/{key}.pdf")
def show_page_on_paper(request: Request, file: str, key: str) -> Response:
    """Return one page of a case as a PDF; while it is being worked out, the page itself."""
    case = open_case(find_case(request, file))
    page, waits = _page(request, case, key)
    if waits:
        return RedirectResponse(f"{case_base(file)}/{key}")
    return Response(paper_of(case, page), media_type="application/pdf")


@router.get("/{key}", response_class=HTMLResponse)
def show_page(request: Request, file: str, key: str) -> HTMLResponse:
    """Show one page of a case; while it is being worked out the page renews itself."""
    case = open_case(find_case(request, file))
    page, waits = _page(request, case, key)
    answer = html(request, PageContext(key, case_base(file), strip(case), page, not waits))
    if waits:
        answer.headers["refresh"] = RENEW_S
    return answer


def _page(request: Request, case: OpenCase, key: str) -> tuple[Page, bool]:
    """Return a page, and whether it is still being worked out."""
    worker, state = request.app.state.worker, case.stored.digest
    if key == "follow":
        blocks = worker.result(f"{state} follow", lambda: follow_blocks(case))
        ahead = worker.result(f"{state} forecast", lambda: forecast_blocks(case))
        return follow_page(case, blocks, ahead), blocks is None or ahead is None
    if key == "forecast":
        ahead = worker.result(f"{state} forecast", lambda: forecast_blocks(case))
        return forecast_page(ahead), ahead is None
    if key not in AT_ONCE:
        raise HTTPException(404)
    return AT_ONCE[key](case), False
