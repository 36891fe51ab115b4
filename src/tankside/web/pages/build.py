"""A course put together step by step; its steps stand in the address, so that back is undo."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.errors import Mistake
from tankside.intake.built_course import MOST_STEPS
from tankside.intake.plan_setup import PlanRequest
from tankside.report.amount_page import agent_names
from tankside.report.built_form import FIELDS, built_page, step_line
from tankside.report.form_standing import clock_words
from tankside.report.page import OpenCase, open_case, strip
from tankside.services.built import built_so_far
from tankside.services.drafts import keep_draft, kept_draft
from tankside.web.contexts import BuildContext
from tankside.web.form_data import Form
from tankside.web.pages.enter import SEE_OTHER
from tankside.web.pages.find import find_case, shelf_of
from tankside.web.pages.refused import status_of
from tankside.web.render import case_base, html

router = APIRouter(prefix="/case/{file}/build")
STEP, DAYS, KIND = "step", "days", "kind"
LONGEST = 400
Steps = list[tuple[str, str]]


def steps_asked(request: Request) -> Steps:
    """Return the steps and the length that stand in an address; none for no course of that kind."""
    query = request.query_params
    steps = [(STEP, text[:LONGEST]) for text in query.getlist(STEP)[: MOST_STEPS + 1]]
    days = query.get(DAYS, "")[:LONGEST]
    return [*steps, (DAYS, days)] if steps and days else steps


def plan_request(steps: Steps, named: tuple[str, ...] = ()) -> PlanRequest:
    """Return what is asked of a comparison that has these steps beside it."""
    lines = tuple(text for name, text in steps if name == STEP)
    if not lines:
        return PlanRequest()
    return PlanRequest(steps=lines, days=dict(steps).get(DAYS, ""), named=named)


@router.get("", response_class=HTMLResponse)
def show_build(request: Request, file: str, kind: str = "", days: str = "") -> HTMLResponse:
    """Show a course as far as it is put together, and the form of the kind that is added."""
    lines = [text for name, text in steps_asked(request) if name == STEP]
    return _page(request, file, lines, days[:LONGEST], kind, {})


@router.post("")
def add_step(request: Request, file: str, sent: Form) -> Response:
    """Add a step and keep all of them, or show the form again with what is wrong."""
    lines, word = list(sent.get(STEP, []))[:MOST_STEPS], _said(sent, KIND)
    days, values = _said(sent, DAYS), {name: _said(sent, name) for name in FIELDS}
    path, base = find_case(request, file), case_base(file)
    added = [*lines, step_line(word, values)] if word else lines
    try:
        built_so_far(path, added, days)
    except Mistake as mistake:
        return _page(request, file, lines, days, word, values, mistake)
    keep_draft(shelf_of(request).folder, f"{base}/build", {STEP: added, DAYS: [days]})
    return RedirectResponse(f"{base}/build?{_asked(added, days)}", SEE_OTHER)


def _page(
    request: Request,
    file: str,
    lines: list[str],
    days: str,
    word: str,
    values: Mapping[str, str],
    mistake: Mistake | None = None,
) -> HTMLResponse:
    path, base = find_case(request, file), case_base(file)
    case = open_case(path)
    page = built_page(built_so_far(path, lines, "" if mistake else days), lines, days, word)
    context = BuildContext(
        "plans", base, strip(case), page, values, mistake, _asked(lines, days),
        tuple(_asked([*lines[:n], *lines[n + 1 :]], days) for n in range(len(lines))),
        agent_names(), *(_left(request, case, base) if not lines else ("", "")),
    )  # fmt: skip
    return html(request, context, 200 if mistake is None else status_of(mistake))


def _left(request: Request, case: OpenCase, base: str) -> tuple[str, str]:
    """Return the address of the steps that were kept last, and when; nothing where none were."""
    draft = kept_draft(shelf_of(request).folder, f"{base}/build")
    if draft is None or not draft.fields.get(STEP):
        return "", ""
    days = (draft.fields.get(DAYS) or [""])[0]
    return _asked(draft.fields[STEP], days), clock_words(draft.at, case.view.opened.zone)


def _asked(lines: list[str], days: str) -> str:
    return urlencode([*((STEP, line) for line in lines), *([(DAYS, days)] if days else [])])


def _said(sent: Mapping[str, list[str]], name: str) -> str:
    return (sent.get(name) or [""])[0].strip()[:LONGEST]
