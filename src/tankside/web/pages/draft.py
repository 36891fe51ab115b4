"""Keep what is typed into a form while it is being typed, and forget it when that is asked for."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import JSONResponse, RedirectResponse

from tankside.services.drafts import drop_draft, keep_draft
from tankside.web.form_data import Form
from tankside.web.pages.enter import FORM, SEE_OTHER, plain_path
from tankside.web.pages.find import shelf_of

router = APIRouter(prefix="/draft")
FOR = "draft-of"
"""The field that says which form it is."""


@router.post("")
def keep(request: Request, sent: Form) -> JSONResponse:
    """Keep a draft; what was saved meanwhile is not kept anew."""
    folder = shelf_of(request).folder
    number, form = ((sent.get(name) or [""])[0] for name in (FORM, FOR))
    if request.app.state.sent_forms.was_sent(number):
        return JSONResponse({"kept": ""})
    fields = {name: texts for name, texts in sent.items() if name not in (FORM, FOR)}
    draft = keep_draft(folder, form, fields)
    if request.app.state.sent_forms.was_sent(number):  # saved while it was being kept
        drop_draft(folder, form)
        return JSONResponse({"kept": ""})
    return JSONResponse({"kept": draft.at})


@router.post("/drop")
def drop(request: Request, sent: Form) -> RedirectResponse:
    """Forget a draft and show the form empty."""
    form = (sent.get(FOR) or [""])[0]
    drop_draft(shelf_of(request).folder, form)
    return RedirectResponse(form if plain_path(form) else "/", SEE_OTHER)
