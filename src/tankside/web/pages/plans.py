"""Courses compared: each can be chosen by its name, from the very comparison that was shown.

A course that was put together by hand stands in the address, and is compared beside those shown.
"""

from __future__ import annotations

from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from tankside.report.page import OpenCase, open_case, paper_of, strip
from tankside.report.page_leads import led
from tankside.report.page_plans import ComparedCourses, compare_courses, plans_page, plans_shown
from tankside.web.contexts import PlansContext, waiting
from tankside.web.pages.build import plan_request, steps_asked
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
    steps = steps_asked(request)
    asked = urlencode(steps)
    waits = waiting("plans", still, asked)
    context = PlansContext(
        "plans", case_base(file), strip(case), page, still is None, waits, cards, names, steps,
        f"?{asked}" if asked else "",
    )  # fmt: skip
    return html(request, context)


@router.get("/plans.pdf")
def show_plans_on_paper(request: Request, file: str) -> Response:
    """Return the comparison as a PDF; while it is being worked out, the page itself."""
    case = open_case(find_case(request, file))
    compared = _job(request, case).result
    if compared is None:
        asked = urlencode(steps_asked(request))
        return RedirectResponse(f"{case_base(file)}/plans{'?' if asked else ''}{asked}")
    return Response(paper_of(case, plans_page(compared)), media_type="application/pdf")


def _job(request: Request, case: OpenCase) -> Job[ComparedCourses]:
    worker: Worker = request.app.state.worker
    steps = steps_asked(request)
    shown = worker.started(work_key(case.stored.digest, "plans")) if steps else None
    named = shown.result.names if shown is not None and shown.result is not None else ()

    def work(job: Job[ComparedCourses]) -> ComparedCourses:
        def rough(compared: ComparedCourses) -> None:
            job.early = compared

        wanted = plan_request(steps, tuple(name for _, name in named))
        return compare_courses(case, job.tell, rough, wanted)

    return worker.job(work_key(case.stored.digest, "plans", urlencode(steps)), work)
