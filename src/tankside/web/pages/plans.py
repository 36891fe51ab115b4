"""Courses compared: each can be chosen by its name, from the very comparison that was shown."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from tankside.report.page import OpenCase, open_case, paper_of, strip
from tankside.report.page_plans import ComparedCourses, compare_courses, plans_page
from tankside.services.comparison import choose_course
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
    context = PlansContext("plans", case_base(file), strip(case), page, compared is not None, names)
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
    said = {name: (sent.get(name) or [""])[0] for name in ("name", "reason", FORM)}

    def save() -> str:
        choose_course(path, said["name"], by=by, reason=said["reason"])
        return f"{case_base(file)}/day"

    return RedirectResponse(request.app.state.sent_forms.once(said[FORM], save), SEE_OTHER)


def _compared(request: Request, case: OpenCase) -> ComparedCourses | None:
    compared: ComparedCourses | None = request.app.state.worker.result(
        _key(case.stored.digest), lambda: compare_courses(case)
    )
    return compared


def _key(state: str) -> str:
    return f"{state} plans"
