"""The day card of a case: on a page, on paper, and the whole course as a calendar file."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from tankside.report.day_card import calendar_of, paper_of_day
from tankside.report.page import open_case, strip
from tankside.report.page_care import care_page
from tankside.report.page_day import day_page
from tankside.report.page_leads import led
from tankside.services.by_cause import care_of_day
from tankside.services.today import TodayAnswer, latest_day, today
from tankside.web.contexts import DayContext, PageContext
from tankside.web.pages.find import find_case
from tankside.web.render import case_base, html

router = APIRouter(prefix="/case/{file}")


@router.get("/course.ics")
def show_calendar(request: Request, file: str) -> Response:
    """Return the chosen course as a calendar file."""
    calendar = calendar_of(latest_day(find_case(request, file)))
    return Response(calendar, media_type="text/calendar; charset=utf-8")


@router.get("/day", response_class=HTMLResponse)
def show_latest_day(request: Request, file: str) -> HTMLResponse:
    """Show the card of the day the case has come to."""
    path = find_case(request, file)
    if (care := care_of_day(path)) is not None:
        case = open_case(path)
        led_page = led(care_page(care), case)
        page = PageContext("day", case_base(file), strip(case), led_page, False, None)
        return html(request, page)
    return _day(request, file, latest_day(path))


@router.get("/day/{day}.pdf")
def show_paper(request: Request, file: str, day: str, paper: str = "a4") -> Response:
    """Return the card of a day as a PDF on a size of paper."""
    printed = paper_of_day(today(find_case(request, file), day), paper)
    return Response(printed, media_type="application/pdf")


@router.get("/day/{day}", response_class=HTMLResponse)
def show_day(request: Request, file: str, day: str) -> HTMLResponse:
    """Show the card of one day."""
    return _day(request, file, today(find_case(request, file), day))


def _day(request: Request, file: str, answer: TodayAnswer) -> HTMLResponse:
    case = open_case(answer.stored.reference)
    return html(request, DayContext("day", case_base(file), strip(case), day_page(answer)))
