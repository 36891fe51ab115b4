"""Check and start: what a course rests on, read once more before its first step."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.errors import Mistake
from tankside.report.page import open_case, strip
from tankside.report.page_start import reason_words, start_page
from tankside.services.start_check import Agreed, start_check, start_course
from tankside.web.contexts import StartContext, StartRefusedContext
from tankside.web.form_data import Filled, Form
from tankside.web.pages.enter import FORM, SEE_OTHER
from tankside.web.pages.find import find_case
from tankside.web.pages.refused import status_of
from tankside.web.render import case_base, html

router = APIRouter(prefix="/case/{file}/start")
LABEL_READ, YES = "label_read", "yes"


@router.get("", response_class=HTMLResponse)
def show_check(request: Request, file: str, name: str = "", reason: str = "") -> HTMLResponse:
    """Show what a course rests on, or why it cannot be started."""
    return _page(request, file, {"name": [name], "reason": [reason]})


@router.post("")
def start(request: Request, file: str, sent: Form) -> Response:
    """Start the course once every check is answered and none bears danger."""
    path, by = find_case(request, file), request.app.state.by
    second = _said(sent, "second")
    agreed = Agreed(
        label_read=_said(sent, LABEL_READ) == YES,
        second=second,
        stop_signs=_said(sent, "stop_signs"),
        reason=reason_words(_said(sent, "reason"), second),
    )

    def save() -> str:
        start_course(path, _said(sent, "name"), agreed, by=by)
        return f"{case_base(file)}/day"

    try:
        onward = request.app.state.sent_forms.once(_said(sent, FORM), save)
        return RedirectResponse(onward, SEE_OTHER)
    except Mistake as mistake:
        return _page(request, file, sent, mistake)


def _page(
    request: Request, file: str, sent: Filled, mistake: Mistake | None = None
) -> HTMLResponse:
    path, base = find_case(request, file), case_base(file)
    case = open_case(path)
    try:
        check = start_check(path, _said(sent, "name"), request.app.state.by)
    except Mistake as refused:
        context = StartRefusedContext("plans", base, strip(case), refused)
        return html(request, context, status_of(refused))
    said = {name: values[-1] for name, values in sent.items()}
    page = start_page(check, case.now)
    shown = StartContext("plans", base, strip(case), page, said, mistake)
    return html(request, shown, 200 if mistake is None else status_of(mistake))


def _said(sent: Filled, name: str) -> str:
    return (sent.get(name) or [""])[0].strip()
