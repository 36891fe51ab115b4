"""Open a case: who called, about which tank; the file is named after it."""

from __future__ import annotations

from pathlib import Path

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.errors import Mistake
from tankside.intake.clock import zone_here
from tankside.records.case_path import new_case_path
from tankside.report.entry_form import OPENED, VALUE, Sent, entry_form, typed_from
from tankside.services import cases
from tankside.web.contexts import NewCaseContext
from tankside.web.form_data import Form
from tankside.web.pages.enter import FORM, SEE_OTHER
from tankside.web.pages.refused import status_of
from tankside.web.render import case_base, html
from tankside.web.sent_forms import new_number

router = APIRouter(prefix="/new")
NEEDED = dict.fromkeys(("name", "keeper", "water", "zone"), "")
"""What a case cannot be opened without; what is left empty is refused by name."""


@router.get("", response_class=HTMLResponse)
def show_form(request: Request) -> HTMLResponse:
    """Ask what opens a case."""
    return _form(request, {VALUE + "zone": [zone_here()]})


@router.post("")
def save_form(request: Request, sent: Form) -> Response:
    """Open the case, or show the form again with what is wrong with it."""
    folder: Path = request.app.state.folder

    def save() -> str:
        typed = {
            ("opened" if name == "on" else name): text for name, text in typed_from(OPENED, sent)
        }
        opening = cases.Opening(**{**NEEDED, **typed})
        path = new_case_path(folder, opening.name)
        cases.new_case(path, opening, by=request.app.state.by)
        return f"{case_base(path.name)}/story"

    try:
        number = (sent.get(FORM) or [""])[0]
        return RedirectResponse(request.app.state.sent_forms.once(number, save), SEE_OTHER)
    except Mistake as mistake:
        return _form(request, sent, mistake)


def _form(request: Request, sent: Sent, mistake: Mistake | None = None) -> HTMLResponse:
    form = entry_form(OPENED, sent, mistake)
    context = NewCaseContext("new", form, "/new", new_number(), "")
    return html(request, context, 200 if mistake is None else status_of(mistake))
