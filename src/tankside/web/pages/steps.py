"""Answers of the day card: a tick is an entry; a wrong one is taken back and both stand."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse

from tankside.services.saving import Added
from tankside.services.step_answer import answer_step, take_back
from tankside.web.form_data import Filled, Form
from tankside.web.pages.enter import FORM, SEE_OTHER, onward_of
from tankside.web.pages.find import find_case
from tankside.web.render import case_base

router = APIRouter(prefix="/case/{file}/step/{name}")


@router.post("/answer")
def answer(request: Request, file: str, name: str, sent: Form) -> RedirectResponse:
    """Write what became of a step."""
    path, by = find_case(request, file), request.app.state.by
    amount, unit = _first(sent, "amount"), _first(sent, "unit")
    if amount and not any(sign.isalpha() for sign in amount):
        amount = f"{amount} {unit}"

    def save() -> Added:
        said = {"amount": amount, "reason": _first(sent, "reason")}
        return answer_step(path, name, _first(sent, "state"), by=by, **said)

    return _saved(request, file, sent, save)


@router.post("/take-back")
def take_answer_back(request: Request, file: str, name: str, sent: Form) -> RedirectResponse:
    """Void the last answer to a step."""
    path, by = find_case(request, file), request.app.state.by
    return _saved(request, file, sent, lambda: take_back(path, name, by=by))


def _saved(
    request: Request, file: str, sent: Filled, save: Callable[[], Added]
) -> RedirectResponse:
    onward = onward_of(sent, case_base(file))

    def once() -> str:
        return f"{onward}?saved={save().new[-1].id}"

    return RedirectResponse(request.app.state.sent_forms.once(_first(sent, FORM), once), SEE_OTHER)


def _first(sent: Filled, name: str) -> str:
    return (sent.get(name) or [""])[0].strip()
