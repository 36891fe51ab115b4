"""Enter what is new: a form for each kind of entry, and one that opens a case."""

from __future__ import annotations

from collections.abc import Sequence

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.errors import Mistake
from tankside.quantity.address_number import address_number
from tankside.report.entry_form import (
    NAME,
    SAID,
    VALUE,
    Sent,
    entry_form,
    kinds_to_enter,
    typed_from,
)
from tankside.report.form_standing import clock_words, saved_since
from tankside.report.page import open_case, strip
from tankside.services import cases, saving
from tankside.services.drafts import Draft, drop_draft, kept_draft
from tankside.web.contexts import EnterContext, FormContext, FormShown
from tankside.web.form_data import Form
from tankside.web.pages.find import find_case, shelf_of
from tankside.web.pages.refused import status_of
from tankside.web.render import case_base, html
from tankside.web.sent_forms import new_number, number_of

router = APIRouter(prefix="/case/{file}/enter")
FORM, ONWARD, VERSION, AGAIN = "form", "onward", "version", "again"
SEE_OTHER = 303
PLAIN = dict.fromkeys(map(ord, "-._%"))
"""Signs that an address of these pages may hold besides letters and digits."""


@router.get("", response_class=HTMLResponse)
def show_kinds(request: Request, file: str) -> HTMLResponse:
    """List what can be entered."""
    case = open_case(find_case(request, file))
    return html(request, EnterContext("enter", case_base(file), strip(case), kinds_to_enter()))


@router.get("/{word}", response_class=HTMLResponse)
def show_form(request: Request, file: str, word: str, onward: str = "") -> HTMLResponse:
    """Show the form of a kind of entry, with what was typed into it before and not saved."""
    draft = kept_draft(shelf_of(request).folder, f"{case_base(file)}/enter/{word}")
    kept = {} if draft is None else draft.fields
    return _form(
        request, file, word, {**_filled_in(request), **kept, ONWARD: [onward]}, draft=draft
    )


@router.post("/{word}")
def save_form(request: Request, file: str, word: str, sent: Form) -> Response:
    """Save what was filled in, or show it again with what is wrong with it."""
    path = find_case(request, file)

    def save() -> str:
        by, upon = request.app.state.by, resting(sent)
        added = cases.add_typed(path, word, typed_from(word, sent), by=by, sent=upon)
        drop_draft(shelf_of(request).folder, f"{case_base(file)}/enter/{word}")
        return f"{onward_of(sent, case_base(file))}?saved={added.new[0].id}"

    try:
        number = number_of(sent)
        if not request.app.state.sent_forms.was_sent(number):
            moved = saved_since(open_case(path), word, (sent.get(VERSION) or [""])[0])
            if moved:
                return _form(request, file, word, sent, since=moved)
        return RedirectResponse(request.app.state.sent_forms.once(number, save), SEE_OTHER)
    except Mistake as mistake:
        return _form(request, file, word, sent, mistake)


def resting(sent: Sent) -> saving.Sent:
    """Return what the form was filled in upon, and whether it was said that it happened again."""
    seen = (sent.get(VERSION) or [""])[0]
    return saving.Sent(
        address_number(seen),
        submission=number_of(sent) or None,
        again=AGAIN in sent,
    )


def plain_path(path: str) -> bool:
    """Tell whether an address is a path of this server without anything else in it."""
    parts = path.removeprefix("/").split("/")
    plain = (part.translate(PLAIN) for part in parts)
    return path.startswith("/") and all(part.isalnum() for part in plain)


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
    request: Request,
    file: str,
    word: str,
    sent: Sent,
    mistake: Mistake | None = None,
    *,
    draft: Draft | None = None,
    since: Sequence[str] = (),
) -> HTMLResponse:
    case = open_case(find_case(request, file))
    base = case_base(file)
    form = entry_form(word, sent, mistake)
    shown = FormShown(
        form=form,
        action=f"{base}/enter/{word}",
        number=new_number(),
        onward=(sent.get(ONWARD) or [""])[0],
        version=case.stored.version,
        draft_at="" if draft is None else clock_words(draft.at, case.view.opened.zone),
        twice=mistake is not None and mistake.field == AGAIN,
        since=tuple(since),
    )
    status = 409 if since else 200 if mistake is None else status_of(mistake)
    return html(request, FormContext("enter", base, strip(case), shown), status)
