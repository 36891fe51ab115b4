"""Courses compared: each can be chosen by its name, from the very comparison that was shown."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from tankside.errors import CouldNotSave
from tankside.present.amounts import tie_units
from tankside.report.page import OpenCase, open_case, paper_of, strip
from tankside.report.page_plans import ComparedCourses, compare_courses, plans_page, plans_shown
from tankside.services.plan import choose_course
from tankside.web.contexts import PlansContext, waiting
from tankside.web.form_data import Form
from tankside.web.pages.enter import FORM, SEE_OTHER
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
    compared, state = job.result, case.stored.digest
    still = None if compared is not None else job
    so_far, is_rough = compared or job.early, compared is None
    page, cards = plans_page(so_far, is_rough=is_rough), plans_shown(so_far, is_rough=is_rough)
    names = compared.names if compared else ()
    base, on_top, waits = case_base(file), strip(case), waiting("plans", still)
    return html(
        request,
        PlansContext("plans", base, on_top, page, still is None, waits, cards, names, state),
    )


@router.get("/plans.pdf")
def show_plans_on_paper(request: Request, file: str) -> Response:
    """Return the comparison as a PDF; while it is being worked out, the page itself."""
    case = open_case(find_case(request, file))
    compared = _job(request, case).result
    if compared is None:
        return RedirectResponse(f"{case_base(file)}/plans")
    return Response(paper_of(case, plans_page(compared)), media_type="application/pdf")


@router.post("/plans/choose")
def choose(request: Request, file: str, sent: Form) -> RedirectResponse:
    """Write a course of the comparison into the case; nothing is searched anew."""
    path, by = find_case(request, file), request.app.state.by
    said = {name: (sent.get(name) or [""])[0] for name in ("state", "name", "reason", FORM)}

    def save() -> str:
        job = request.app.state.worker.started(work_key(said["state"], "plans"))
        compared = None if job is None else job.result
        moved_on = open_case(path).stored.digest != said["state"]
        if not isinstance(compared, ComparedCourses) or compared.answer is None or moved_on:
            raise _moved_on(said["name"])
        # The page ties numbers to their units, so a name comes back as it was shown.
        shown = [tie_units(name) for name in compared.names]
        wanted = tie_units(said["name"])
        number = 1 + shown.index(wanted) if wanted in shown else 0
        choose_course(path, compared.answer, number, by=by, reason=said["reason"])
        return f"{case_base(file)}/day"

    return RedirectResponse(request.app.state.sent_forms.once(said[FORM], save), SEE_OTHER)


def _job(request: Request, case: OpenCase) -> Job[ComparedCourses]:
    def work(job: Job[ComparedCourses]) -> ComparedCourses:
        def rough(compared: ComparedCourses) -> None:
            job.early = compared

        return compare_courses(case, job.tell, rough)

    worker: Worker = request.app.state.worker
    return worker.job(work_key(case.stored.digest, "plans"), work)


def _moved_on(name: str) -> CouldNotSave:
    return CouldNotSave(
        "E-WEB-04",
        "The case has moved on since these courses were compared.",
        given=name,
        needed="a comparison of the case as it stands now",
        next_step="Open the plans again: they are compared anew. Nothing was chosen.",
        field="name",
    )
