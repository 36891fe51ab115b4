"""The application: the pages of the cases of one place, behind the guard."""

from __future__ import annotations

from fastapi import FastAPI, Request
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import Response
from starlette.types import ASGIApp

from tankside.errors import BadInput, Mistake, NotPossible
from tankside.services.shelf import Shelf
from tankside.web.api.address import API, is_api
from tankside.web.api.interface import interface, not_there
from tankside.web.contexts import MistakeContext
from tankside.web.entrance import Entrance
from tankside.web.guard import Guard, hosts_of
from tankside.web.pages import (
    amount,
    build,
    case,
    cases,
    check,
    claims,
    correct,
    day,
    draft,
    emergency,
    enter,
    fits,
    laid_over,
    learn,
    look,
    new_case,
    papers,
    photos,
    plans,
    progress,
    redate,
    start,
    static,
    steps,
    tank,
)
from tankside.web.pages.refused import NOT_THERE, status_of
from tankside.web.queue import FewAtOnce, PagesUnderWay
from tankside.web.render import case_base, environment, html
from tankside.web.sent_forms import SentForms
from tankside.web.worker import Worker

PAGES = (
    start, cases, draft, new_case, day, enter, look, fits, steps, check, claims, papers, correct,
    amount, redate, build, plans, laid_over, progress, photos, tank, case, emergency, learn, static,
)  # fmt: skip
"""What is shown; of two that answer an address the first does."""


def create_app(shelf: Shelf, entrance: Entrance, by: str) -> ASGIApp:
    """Return the guarded application.

    Args:
        shelf: the cases that are served; nothing else is ever read or written.
        entrance: the port it is served at and the word that lets a browser in.
        by: who is written beside each entry.
    """
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    app.state.templates = environment()
    app.state.shelf = shelf
    pages = PagesUnderWay()
    app.state.worker = Worker(pages.let_pass)
    app.state.emergency = emergency.EmergencyRoad(app.state.templates)
    app.state.sent_forms = SentForms(shelf.folder)
    app.state.entrance = entrance
    app.state.by = by
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=5)
    app.mount(API, interface(app.state))
    for page in PAGES:
        app.include_router(page.router)
    app.add_exception_handler(Mistake, _mistake)
    app.add_exception_handler(HTTPException, _not_found)
    app.add_exception_handler(Exception, _fault)
    return Guard(FewAtOnce(app, pages), hosts_of(entrance.port), entrance)


def _page(request: Request, mistake: Mistake, status: int) -> Response:
    file = request.path_params.get("file")
    base = case_base(file) if file and status != NOT_THERE else ""
    return html(request, MistakeContext("", mistake, base), status)


async def _mistake(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, Mistake)
    return _page(request, fault, status_of(fault))


async def _not_found(request: Request, fault: Exception) -> Response:
    if is_api(request.url.path):  # an address with a line end in it passes no mounted application
        return await not_there(request, fault)
    status = fault.status_code if isinstance(fault, HTTPException) else NOT_THERE
    words = BadInput(
        "E-WEB-05",
        "There is no such page.",
        given=request.url.path,
        needed="a page that the workbench lists",
        next_step="Go back to the cases.",
    )
    return _page(request, words, status)


async def _fault(request: Request, fault: Exception) -> Response:
    words = NotPossible(
        "E-WEB-99",
        "This page could not be made. The program is at fault; the case file was not touched.",
        given=request.url.path,
        needed="a program without this fault; what you asked for was in order",
        next_step="Go back, and report it with the code; what you had saved stands.",
    )
    return _page(request, words, 500)
