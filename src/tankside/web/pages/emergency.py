"""The emergency card, one step from every page.

It has a road of its own: page and paper are made once, at the start, and answered by the one task
that takes requests, without waiting for a free thread, however many pages are being worked out.
"""

from __future__ import annotations

from threading import Lock
from typing import cast

from fastapi import APIRouter, Request
from jinja2 import Environment
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, Response

from tankside.present.emergency import as_pdf, emergency_card
from tankside.web.contexts import EmergencyContext
from tankside.web.render import filled

router = APIRouter()


class EmergencyRoad:
    """The card as page and as PDF, each made once."""

    def __init__(self, templates: Environment) -> None:
        self.page = filled(templates, EmergencyContext("emergency", emergency_card()))
        self._paper = b""
        self._lock = Lock()

    @property
    def ready_paper(self) -> bytes:
        """The PDF, b"" until somebody made it."""
        return self._paper

    def paper(self) -> bytes:
        """Make the PDF, or return it.

        Raises:
            NotPossible: E-PRINT-01 when the print libraries are not installed.
        """
        with self._lock:
            self._paper = self._paper or as_pdf(emergency_card())
            return self._paper


@router.get("/emergency", response_class=HTMLResponse)
async def show_emergency(request: Request) -> HTMLResponse:
    """Show the card."""
    return HTMLResponse(_road(request).page)


@router.get("/emergency.pdf")
async def show_emergency_paper(request: Request) -> Response:
    """Return the card as a PDF."""
    road = _road(request)
    paper = road.ready_paper or await run_in_threadpool(road.paper)
    return Response(paper, media_type="application/pdf")


def _road(request: Request) -> EmergencyRoad:
    return cast(EmergencyRoad, request.app.state.emergency)
