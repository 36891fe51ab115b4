"""The pages of one case: story, tank, water, course, follow-up; also on paper."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.present.blocks import Block, Page
from tankside.report.course import course_document
from tankside.report.page import OpenCase, open_case, page_of, paper_of, strip
from tankside.report.page_follow import follow_blocks, follow_page
from tankside.report.page_forecast import forecast_blocks, forecast_page
from tankside.report.page_leads import led
from tankside.report.story import story_document
from tankside.report.tank import tank_document
from tankside.report.tank_water import water_document
from tankside.web.contexts import PageContext, waiting
from tankside.web.pages.find import find_case
from tankside.web.pages.progress import work_key
from tankside.web.render import case_base, html
from tankside.web.worker import Job, JobState

router = APIRouter(prefix="/case/{file}")
AT_ONCE: dict[str, Callable[[OpenCase], Page]] = {
    "story": lambda case: page_of("story", story_document(case)),
    "tank": lambda case: page_of("tank", tank_document(case)),
    "water": lambda case: page_of("water", water_document(case)),
    "course": lambda case: page_of("course", course_document(case)),
}
"""Pages that are made while one waits for them; forecast and follow-up are worked out apart."""


@router.get("/{key}.pdf")
def show_page_on_paper(request: Request, file: str, key: str) -> Response:
    """Return one page of a case as a PDF; while it is being worked out, the page itself."""
    case = open_case(find_case(request, file))
    page, job = _page(request, case, key)
    if job is not None:
        return RedirectResponse(f"{case_base(file)}/{key}")
    return Response(paper_of(case, page), media_type="application/pdf")


@router.get("/{key}", response_class=HTMLResponse)
def show_page(request: Request, file: str, key: str) -> HTMLResponse:
    """Show one page of a case; while it is being worked out it tells how far that has come."""
    case = open_case(find_case(request, file))
    page, job = _page(request, case, key)
    base, still, shown = case_base(file), waiting(key, job), led(page, case)
    return html(request, PageContext(key, base, strip(case), shown, job is None, still))


def _page(request: Request, case: OpenCase, key: str) -> tuple[Page, Job[tuple[Block, ...]] | None]:
    """Return a page, and the work it still waits for."""
    worker, state = request.app.state.worker, case.stored.digest
    if key in ("follow", "forecast"):
        ahead = worker.job(work_key(state, "forecast"), lambda job: forecast_blocks(case, job.tell))
        if key == "forecast":
            return forecast_page(ahead.result), None if ahead.state is JobState.DONE else ahead
        after = worker.job(work_key(state, key), lambda job: follow_blocks(case, job.tell))
        waits = next((job for job in (ahead, after) if job.state is not JobState.DONE), None)
        return follow_page(case, after.result, ahead.result), waits
    if key not in AT_ONCE:
        raise HTTPException(404)
    return AT_ONCE[key](case), None
