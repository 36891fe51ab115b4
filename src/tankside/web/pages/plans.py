"""Courses compared: each can be chosen by its name, from the very comparison that was shown."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from tankside.report.page import OpenCase, open_case, paper_of, strip
from tankside.report.page_leads import led
from tankside.report.page_plans import ComparedCourses, compare_courses, plans_page, plans_shown
from tankside.web.contexts import PlansContext, waiting
from tankside.web.pages.find import find_case
from tankside.web.pages.progress import work_key
from tankside.web.render import case_base, html
from tankside.web.worker import Job, Worker

router = APIRouter(prefix="/case/{file}")


@router.get("/plans")
def show_plans(request: Request, file: str) -> Response:
    """Show the comparison; a rough one first, and how far the whole one has come."""
    case = open_case(find_case(request, file))
    job = _job(request, case)
    compared = job.result
    still = None if compared is not None else job
    so_far, is_rough = compared or job.early, compared is None
    page = led(plans_page(so_far, is_rough=is_rough), case)
    cards = plans_shown(so_far, is_rough=is_rough)
    names = compared.names if compared else ()
    base, on_top, waits = case_base(file), strip(case), waiting("plans", still)
    return html(
        request,
        PlansContext("plans", base, on_top, page, still is None, waits, cards, names),
    )


@router.get("/plans.pdf")
def show_plans_on_paper(request: Request, file: str) -> Response:
    """Return the comparison as a PDF; while it is being worked out, the page itself."""
    case = open_case(find_case(request, file))
    compared = _job(request, case).result
    if compared is None:
        return RedirectResponse(f"{case_base(file)}/plans")
    return Response(paper_of(case, plans_page(compared)), media_type="application/pdf")


def _job(request: Request, case: OpenCase) -> Job[ComparedCourses]:
    def work(job: Job[ComparedCourses]) -> ComparedCourses:
        def rough(compared: ComparedCourses) -> None:
            job.early = compared

        return compare_courses(case, job.tell, rough)

    worker: Worker = request.app.state.worker
    return worker.job(work_key(case.stored.digest, "plans"), work)
