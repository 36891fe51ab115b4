"""Courses compared: each can be chosen by its name, from the very comparison that was shown."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from tankside.errors import CouldNotSave
from tankside.report.page import OpenCase, open_case, paper_of, strip
from tankside.report.page_plans import ComparedCourses, compare_courses, plans_page
from tankside.services.plan import choose_course
from tankside.web.contexts import PlansContext
from tankside.web.form_data import Form
from tankside.web.pages.enter import FORM, SEE_OTHER
from tankside.web.pages.find import find_case
from tankside.web.render import case_base, html

router = APIRouter(prefix="/case/{file}")
RENEW_S = "4"


@router.get("/plans")
def show_plans(request: Request, file: str) -> Response:
    """Show the comparison; while it is being worked out the page renews itself."""
    case = open_case(find_case(request, file))
    compared = _compared(request, case)
    page = plans_page(compared)
    names = compared.names if compared else ()
    context = PlansContext(
        "plans", case_base(file), strip(case), page, compared is not None, names, case.stored.digest
    )
    answer = html(request, context)
    if compared is None:
        answer.headers["refresh"] = RENEW_S
    return answer


@router.get("/plans.pdf")
def show_plans_on_paper(request: Request, file: str) -> Response:
    """Return the comparison as a PDF; while it is being worked out, the page itself."""
    case = open_case(find_case(request, file))
    compared = _compared(request, case)
    if compared is None:
        return RedirectResponse(f"{case_base(file)}/plans")
    return Response(paper_of(case, plans_page(compared)), media_type="application/pdf")


@router.post("/plans/choose")
def choose(request: Request, file: str, sent: Form) -> RedirectResponse:
    """Write a course of the comparison into the case; nothing is searched anew."""
    path, by = find_case(request, file), request.app.state.by
    said = {name: (sent.get(name) or [""])[0] for name in ("state", "name", "reason", FORM)}

    def save() -> str:
        compared = request.app.state.worker.kept(_key(said["state"]))
        moved_on = open_case(path).stored.digest != said["state"]
        if not isinstance(compared, ComparedCourses) or compared.answer is None or moved_on:
            raise _moved_on(said["name"])
        number = (
            1 + list(compared.names).index(said["name"]) if said["name"] in compared.names else 0
        )
        choose_course(path, compared.answer, number, by=by, reason=said["reason"])
        return f"{case_base(file)}/day"

    return RedirectResponse(request.app.state.sent_forms.once(said[FORM], save), SEE_OTHER)


def _compared(request: Request, case: OpenCase) -> ComparedCourses | None:
    compared: ComparedCourses | None = request.app.state.worker.result(
        _key(case.stored.digest), lambda: compare_courses(case)
    )
    return compared


def _key(state: str) -> str:
    return f"{state} plans"


def _moved_on(name: str) -> CouldNotSave:
    return CouldNotSave(
        "E-WEB-04",
        "The case has moved on since these courses were compared.",
        given=name,
        needed="a comparison of the case as it stands now",
        next_step="Open the plans again: they are compared anew. Nothing was chosen.",
        field="name",
    )
