"""The examination: answer the questions of a sitting by taps, and see at once what fits."""

from __future__ import annotations

from pathlib import Path

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.errors import Mistake
from tankside.report.fits_ahead import ahead_shown
from tankside.report.next_step import next_step
from tankside.report.page import open_case, strip
from tankside.report.page_look import CALL, about_fields, look_page
from tankside.services.differential_case import differential_of
from tankside.services.drafts import drop_draft, kept_draft
from tankside.services.saving import Sent
from tankside.services.sitting import FitsAhead, SittingSeen, fits_ahead, save_sitting
from tankside.web.contexts import AheadContext, LookContext
from tankside.web.form_data import Filled, Form
from tankside.web.pages.enter import SEE_OTHER
from tankside.web.pages.find import find_case, shelf_of
from tankside.web.pages.refused import status_of
from tankside.web.render import case_base, html
from tankside.web.sent_forms import number_of

router = APIRouter(prefix="/case/{file}/look")
ANSWER, MINUTES = "f.", "slide_age_min"


@router.get("", response_class=HTMLResponse)
def show_next_sitting(request: Request, file: str) -> HTMLResponse:
    """Open the sitting that is worth most now."""
    worth = look_page(differential_of(find_case(request, file)), "").here.id
    return show_sitting(request, file, worth)


@router.get("/{sitting}", response_class=HTMLResponse)
def show_sitting(request: Request, file: str, sitting: str) -> HTMLResponse:
    """Open one sitting."""
    draft = kept_draft(shelf_of(request).folder, f"{case_base(file)}/look/{sitting}")
    return _page(request, file, sitting, {} if draft is None else draft.fields)


@router.post("/{sitting}/ahead", response_class=HTMLResponse)
def show_ahead(request: Request, file: str, sitting: str, sent: Form) -> HTMLResponse:
    """Show what would fit if the sitting were saved as it is filled in; nothing is written."""
    del sitting
    ahead = fits_ahead(find_case(request, file), _seen(sent))
    return html(request, AheadContext("look", ahead_shown(ahead)))


@router.post("/{sitting}")
def save(request: Request, file: str, sitting: str, sent: Form) -> Response:
    """Save the sitting and show what fits now; a refused one keeps its answers."""
    path, by = find_case(request, file), request.app.state.by

    def once() -> str:
        resting = Sent(submission=number_of(sent) or None)
        added = save_sitting(path, _seen(sent), by=by, sent=resting)
        drop_draft(shelf_of(request).folder, f"{case_base(file)}/look/{sitting}")
        onward = next_step(added.stored.view()).page if sitting == CALL else "fits"
        return f"{case_base(file)}/{onward}?saved={added.new[0].id}"

    try:
        return RedirectResponse(request.app.state.sent_forms.once(number_of(sent), once), SEE_OTHER)
    except Mistake as mistake:
        return _page(request, file, sitting, sent, mistake)


def _seen(sent: Filled) -> SittingSeen:
    said = {name: values[-1].strip() for name, values in sent.items() if values[-1].strip()}
    answers = {n.removeprefix(ANSWER): said[n] for n in sorted(said) if n.startswith(ANSWER)}
    about = {name: said[name] for name in about_fields() if name in said}
    if said.get(MINUTES):
        about["slide_age"] = f"{said[MINUTES]} min"
    return SittingSeen(answers, about)


def _page(
    request: Request, file: str, sitting: str, sent: Filled, mistake: Mistake | None = None
) -> HTMLResponse:
    path = find_case(request, file)
    case, base = open_case(path), case_base(file)
    page = look_page(differential_of(path), sitting)
    ahead = ahead_shown(_ahead(path, sent))
    said = {name: values[-1] for name, values in sent.items()}
    context = LookContext("look", base, strip(case), page, ahead, said, mistake)
    return html(request, context, 200 if mistake is None else status_of(mistake))


def _ahead(path: Path | str, sent: Filled) -> FitsAhead:
    """Rank what fits with what was tapped; what is half filled in and refused does not count."""
    try:
        return fits_ahead(path, _seen(sent))
    except Mistake:
        return fits_ahead(path, SittingSeen({}, {}))
