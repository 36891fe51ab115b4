"""The pages of one case: story, tank, what fits, plans, course, forecast, day card, follow-up."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, Response

from tankside.present import day_card_pdf, day_card_text
from tankside.present.blocks import Page
from tankside.present.day_card import EMERGENCY
from tankside.report import page as plain
from tankside.report.page import OpenCase, open_case, strip
from tankside.report.page_course import course_page
from tankside.report.page_fits import fits_page
from tankside.report.page_follow import follow_blocks, follow_page
from tankside.report.page_forecast import forecast_blocks, forecast_page
from tankside.report.page_plans import compare_courses, plans_page
from tankside.services import today as day_service
from tankside.web.pages.find import find_case
from tankside.web.worker import Blocks

router = APIRouter(prefix="/case/{file}")
RENEW_S = "4"
MAKERS: dict[str, Callable[[OpenCase], Page]] = {
    "story": plain.story,
    "tank": plain.tank,
    "water": plain.water,
    "fits": fits_page,
    "course": course_page,
}


@router.get("/course.ics")
def show_calendar(request: Request, file: str) -> Response:
    """Return the chosen course as a calendar file."""
    made = day_service.latest_card(find_case(request, file))
    data = day_service.calendar_of(made.stored, made.running)
    return Response(data, media_type="text/calendar; charset=utf-8")


@router.get("/day", response_class=HTMLResponse)
def show_latest_day(request: Request, file: str) -> HTMLResponse:
    """Show the card of the day the case has come to."""
    return _day(request, file, day_service.latest_card(find_case(request, file)))


@router.get("/day/{day}.pdf")
def show_paper(request: Request, file: str, day: str) -> Response:
    """Return the card of a day as a PDF."""
    made = day_service.today(find_case(request, file), day)
    return Response(day_card_pdf.as_pdf(made.card), media_type="application/pdf")


@router.get("/day/{day}", response_class=HTMLResponse)
def show_day(request: Request, file: str, day: str) -> HTMLResponse:
    """Show the card of one day."""
    return _day(request, file, day_service.today(find_case(request, file), day))


@router.get("/forecast", response_class=HTMLResponse)
def show_forecast(request: Request, file: str) -> HTMLResponse:
    """Show the forecast; while it is being worked out the page renews itself."""
    case = open_case(find_case(request, file))
    answer = _forecast(request, case)
    return _renewing(_html(request, file, case, forecast_page(answer)), answer is None)


@router.get("/follow", response_class=HTMLResponse)
def show_follow_up(request: Request, file: str) -> HTMLResponse:
    """Show the follow-up; while it is being worked out the page renews itself."""
    case = open_case(find_case(request, file))
    key = f"{case.stored.digest} follow"
    answer = request.app.state.worker.result(key, lambda: follow_blocks(case))
    foretold = _forecast(request, case)
    page = follow_page(case, answer, foretold)
    return _renewing(_html(request, file, case, page), answer is None or foretold is None)


def _forecast(request: Request, case: OpenCase) -> Blocks | None:
    """Return the forecast, worked out once for its own page and for the follow-up."""
    key = f"{case.stored.digest} forecast"
    blocks: Blocks | None = request.app.state.worker.result(key, lambda: forecast_blocks(case))
    return blocks


@router.get("/plans", response_class=HTMLResponse)
def show_plans(request: Request, file: str) -> HTMLResponse:
    """Compare courses; while they are being played the page renews itself."""
    case = open_case(find_case(request, file))
    key = f"{case.stored.digest} plans"
    done = request.app.state.worker.result(key, lambda: compare_courses(case))
    return _renewing(_html(request, file, case, plans_page(done)), done is None)


@router.get("/{key}", response_class=HTMLResponse)
def show_page(request: Request, file: str, key: str) -> HTMLResponse:
    """Show one page of a case."""
    if key not in MAKERS:
        raise HTTPException(404)
    case = open_case(find_case(request, file))
    return _html(request, file, case, MAKERS[key](case))


def _renewing(answer: HTMLResponse, waits: bool) -> HTMLResponse:
    if waits:
        answer.headers["refresh"] = RENEW_S
    return answer


def _html(request: Request, file: str, case: OpenCase, page: Page) -> HTMLResponse:
    template = request.app.state.templates.get_template("page.html")
    base = f"/case/{quote(file, safe='')}"
    return HTMLResponse(template.render(here=page.key, strip=strip(case), base=base, page=page))


def _day(request: Request, file: str, made: day_service.Today) -> HTMLResponse:
    card = made.card
    last = made.running.run.course.days - 1
    one = timedelta(days=1)
    template = request.app.state.templates.get_template("day.html")
    html = template.render(
        here="day",
        strip=strip(open_case(made.stored.path)),
        base=f"/case/{quote(file, safe='')}",
        card=card,
        cautions=made.cautions,
        emergency=EMERGENCY,
        day=card.day.isoformat(),
        before=(card.day - one).isoformat() if card.number > 0 else "",
        after=(card.day + one).isoformat() if card.number < last else "",
        text=day_card_text.as_text(card),
    )
    return HTMLResponse(html)
