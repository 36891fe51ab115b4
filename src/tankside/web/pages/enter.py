"""Enter what is new: a form for each kind of entry, and one that opens a case."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.errors import Mistake
from tankside.report.entry_form import (
    NAME,
    SAID,
    VALUE,
    Sent,
    entry_form,
    kinds_to_enter,
    typed_from,
)
from tankside.report.page import open_case, strip
from tankside.services import cases
from tankside.web.contexts import EnterContext, FormContext
from tankside.web.form_data import Form
from tankside.web.pages.find import find_case
from tankside.web.pages.refused import status_of
from tankside.web.render import case_base, html
from tankside.web.sent_forms import new_number

router = APIRouter(prefix="/case/{file}/enter")
FORM, ONWARD = "form", "onward"
SEE_OTHER = 303


@router.get("", response_class=HTMLResponse)
def show_kinds(request: Request, file: str) -> HTMLResponse:
    """List what can be entered."""
    case = open_case(find_case(request, file))
    return html(request, EnterContext("enter", case_base(file), strip(case), kinds_to_enter()))


@router.get("/{word}", response_class=HTMLResponse)
def show_form(request: Request, file: str, word: str, onward: str = "") -> HTMLResponse:
    """Show the form of a kind of entry; what the address says already is filled in."""
    return _form(request, file, word, {**_filled_in(request), ONWARD: [onward]})


@router.post("/{word}")
def save_form(request: Request, file: str, word: str, sent: Form) -> Response:
    """Save what was filled in, or show it again with what is wrong with it."""
    path = find_case(request, file)

    def save() -> str:
        added = cases.add_typed(path, word, typed_from(word, sent), by=request.app.state.by)
        return f"{onward_of(sent, case_base(file))}?saved={added.new[0].id}"

    try:
        number = (sent.get(FORM) or [""])[0]
        return RedirectResponse(request.app.state.sent_forms.once(number, save), SEE_OTHER)
    except Mistake as mistake:
        return _form(request, file, word, sent, mistake)


def onward_of(sent: Sent, base: str) -> str:
    """Return the page of this case that a form leads to; never one of another place."""
    wanted = (sent.get(ONWARD) or [""])[0]
    page = wanted.strip("/").split("/")
    plain = all(part.replace("-", "").isalnum() for part in page)
    return f"{base}/{'/'.join(page)}" if wanted and plain else f"{base}/story"


def _filled_in(request: Request) -> Sent:
    query = request.query_params
    return {key: query.getlist(key) for key in query if key.startswith((VALUE, NAME, SAID))}


def _form(
    request: Request, file: str, word: str, sent: Sent, mistake: Mistake | None = None
) -> HTMLResponse:
    case = open_case(find_case(request, file))
    base = case_base(file)
    form = entry_form(word, sent, mistake)
    number = new_number()
    onward = (sent.get(ONWARD) or [""])[0]
    context = FormContext("enter", base, strip(case), form, f"{base}/enter/{word}", number, onward)
    return html(request, context, 200 if mistake is None else status_of(mistake))
