"""Open a case: who called, about which tank; the case is named after it."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.errors import Mistake
from tankside.intake.clock import zone_here
from tankside.report.entry_form import OPENED, VALUE, Sent, entry_form, typed_from
from tankside.report.form_standing import clock_words
from tankside.report.page_look import CALL
from tankside.services import cases
from tankside.services.drafts import drop_draft, kept_draft
from tankside.web.contexts import FormShown, NewCaseContext
from tankside.web.form_data import Form
from tankside.web.pages.enter import FORM, SEE_OTHER
from tankside.web.pages.find import shelf_of
from tankside.web.pages.refused import status_of
from tankside.web.render import case_base, html
from tankside.web.sent_forms import new_number

NEW = "/new"
router = APIRouter(prefix=NEW)
NEEDED = dict.fromkeys(("name", "keeper", "water", "zone"), "")
"""What a case cannot be opened without; what is left empty is refused by name."""


@router.get("", response_class=HTMLResponse)
def show_form(request: Request) -> HTMLResponse:
    """Ask what opens a case; what was typed before and not saved stands there again."""
    draft = kept_draft(shelf_of(request).folder, NEW)
    kept = {} if draft is None else draft.fields
    at = "" if draft is None else clock_words(draft.at, zone_here())
    return _form(request, {VALUE + "zone": [zone_here()], **kept}, draft_at=at)


@router.post("")
def save_form(request: Request, sent: Form) -> Response:
    """Open the case, or show the form again with what is wrong with it."""
    shelf = shelf_of(request)

    def save() -> str:
        typed = {
            ("opened" if name == "on" else name): text for name, text in typed_from(OPENED, sent)
        }
        opening = cases.Opening(**{**NEEDED, **typed})
        added = cases.new_case(shelf.place_for(opening.name), opening, by=request.app.state.by)
        drop_draft(shelf.folder, NEW)
        return f"{case_base(shelf.name_of(added.stored))}/look/{CALL}"

    try:
        number = (sent.get(FORM) or [""])[0]
        return RedirectResponse(request.app.state.sent_forms.once(number, save), SEE_OTHER)
    except Mistake as mistake:
        return _form(request, sent, mistake)


def _form(
    request: Request, sent: Sent, mistake: Mistake | None = None, *, draft_at: str = ""
) -> HTMLResponse:
    shown = FormShown(entry_form(OPENED, sent, mistake), NEW, new_number(), draft_at=draft_at)
    status = 200 if mistake is None else status_of(mistake)
    return html(request, NewCaseContext("new", shown), status)
