"""Teaching pages: sheets to read and print, and cases to practise on. None of them is a case."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Query, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.intake.clock import now
from tankside.present.sheet import sheet_pdf
from tankside.quantity.address_number import address_number
from tankside.report.teaching.practice import practice_page, practice_shelf
from tankside.report.teaching.shelf import FIRST_ORGANISM, USUAL_C, contents, cycle_names, sheet_at
from tankside.report.teaching.what_if import NO_CASE, ROUGH, asked_of, sliders, tried
from tankside.services.practice import practice_walk
from tankside.web.learn_contexts import (
    CycleChoice,
    LearnContext,
    PracticeContext,
    PracticeShelfContext,
    SheetContext,
    TriedContext,
    WhatIfContext,
)
from tankside.web.render import html

router = APIRouter(prefix="/learn")
HERE = "learn"
CYCLE = "life-cycle/"


@router.get("", response_class=HTMLResponse)
def show_contents(request: Request) -> HTMLResponse:
    """List the teaching pages."""
    return html(request, LearnContext(HERE, contents()))


@router.get("/life-cycle")
def choose_cycle(organism: str = FIRST_ORGANISM, temperature: str = USUAL_C) -> RedirectResponse:
    """Lead to the life cycle that was chosen."""
    return RedirectResponse(
        f"/learn/{CYCLE}{_safe(organism)}?temperature={_safe(temperature)}", 303
    )


@router.get("/practice", response_class=HTMLResponse)
def show_shelf(request: Request) -> HTMLResponse:
    """List the practice cases."""
    return html(request, PracticeShelfContext(HERE, practice_shelf()))


@router.get("/practice/{case}", response_class=HTMLResponse)
def show_practice(
    request: Request,
    case: str,
    a: Annotated[list[str] | None, Query()] = None,
    onward: str = "",
) -> HTMLResponse:
    """Ask the next question of a practice case, or judge the last answer."""
    answers = tuple(_place(typed) for typed in a or ())
    page = practice_page(practice_walk(case, answers), answers, onward=bool(onward))
    return html(request, PracticeContext(HERE, page))


@router.get("/what-if", response_class=HTMLResponse)
def show_tank(request: Request) -> HTMLResponse:
    """Show the invented tank as it is set, played roughly."""
    asked = asked_of(request.query_params)
    return html(request, WhatIfContext(HERE, sliders(asked), tried(asked, ROUGH), NO_CASE))


@router.get("/what-if/tried", response_class=HTMLResponse)
def show_tried(request: Request, fineness: str = ROUGH) -> HTMLResponse:
    """Show what comes of the tank as it is set, roughly or finely."""
    shown = tried(asked_of(request.query_params), fineness)
    return html(request, TriedContext(HERE, shown))


@router.get("/{address:path}.pdf")
def show_paper(address: str, temperature: str = USUAL_C, paper: str = "a4") -> Response:
    """Return a sheet as a PDF."""
    size = paper if paper in ("a4", "a5", "us-letter") else "a4"
    made = sheet_pdf(sheet_at(address, temperature), now().date(), size)
    return Response(made, media_type="application/pdf")


@router.get("/{address:path}", response_class=HTMLResponse)
def show_sheet(request: Request, address: str, temperature: str = USUAL_C) -> HTMLResponse:
    """Show a sheet."""
    sheet, asked = sheet_at(address, temperature), ""
    choose = None
    if address.startswith(CYCLE):
        choose = CycleChoice(cycle_names(), address.removeprefix(CYCLE), temperature)
        asked = f"?temperature={_safe(temperature)}"
    return html(request, SheetContext(HERE, sheet, f"/learn/{sheet.key}.pdf{asked}", choose))


def _place(typed: str) -> int:
    """Return the place of an answer; what is no place is one that no question has."""
    place = address_number(typed)
    return -1 if place is None else place


def _safe(text: str) -> str:
    return quote(text, safe="")
