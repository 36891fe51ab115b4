"""Correct an entry: what it should have said stands beside it, and both stay."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.errors import Mistake
from tankside.report.correction import correction_page
from tankside.report.entry_form import typed_from
from tankside.report.page import open_case, strip
from tankside.services.cases import correct_typed
from tankside.services.drafts import drop_draft, kept_draft
from tankside.web.contexts import CorrectContext
from tankside.web.form_data import Filled, Form
from tankside.web.pages.enter import FORM, SEE_OTHER, resting
from tankside.web.pages.find import find_case, shelf_of
from tankside.web.pages.refused import status_of
from tankside.web.render import case_base, html

router = APIRouter(prefix="/case/{file}/correct/{number:int}")
REASON, HOW, VOID = "reason", "how", "void"


@router.get("", response_class=HTMLResponse)
def show_entry(request: Request, file: str, number: int) -> HTMLResponse:
    """Show an entry with its form filled in, or with what was typed before and not saved."""
    draft = kept_draft(shelf_of(request).folder, _place(file, number))
    return _page(request, file, number, None if draft is None else draft.fields)


@router.post("")
def save(request: Request, file: str, number: int, sent: Form) -> Response:
    """Put what it should have said beside the entry, or take it back; a refused form comes back."""
    path = find_case(request, file)

    def once() -> str:
        shown = correction_page(open_case(path), number)
        is_void = _said(sent, HOW) == VOID or shown.form is None
        correct_typed(
            path,
            number,
            None if is_void else shown.word,
            () if is_void else typed_from(shown.word, sent),
            reason=_said(sent, REASON),
            by=request.app.state.by,
            sent=resting(sent),
        )
        drop_draft(shelf_of(request).folder, _place(file, number))
        return f"{case_base(file)}/story?saved={number}#entry-{number}"

    try:
        onward = request.app.state.sent_forms.once(_said(sent, FORM), once)
        return RedirectResponse(onward, SEE_OTHER)
    except Mistake as mistake:
        return _page(request, file, number, sent, mistake)


def _place(file: str, number: int) -> str:
    return f"{case_base(file)}/correct/{number}"


def _page(
    request: Request,
    file: str,
    number: int,
    sent: Filled | None,
    mistake: Mistake | None = None,
) -> HTMLResponse:
    case = open_case(find_case(request, file))
    page = correction_page(case, number, sent, mistake)
    reason = "" if sent is None else _said(sent, REASON)
    context = CorrectContext(
        "story", case_base(file), strip(case), page, _place(file, number),
        case.stored.version, reason, mistake,
    )  # fmt: skip
    return html(request, context, 200 if mistake is None else status_of(mistake))


def _said(sent: Filled, name: str) -> str:
    return (sent.get(name) or [""])[0].strip()
