"""The emergency card, one step from every page.

It has a road of its own: it is made once, at the start, and answered without waiting for a free
thread, however many pages are being worked out.
"""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from tankside.present.emergency import as_pdf, emergency_card
from tankside.web.contexts import EmergencyContext
from tankside.web.render import html

router = APIRouter()


@router.get("/emergency", response_class=HTMLResponse)
async def show_emergency(request: Request) -> HTMLResponse:
    """Show the card."""
    kept = request.app.state
    if getattr(kept, "emergency", None) is None:
        kept.emergency = html(request, EmergencyContext("emergency", emergency_card())).body
    return HTMLResponse(kept.emergency)


@router.get("/emergency.pdf")
def show_emergency_paper() -> Response:
    """Return the card as a PDF."""
    return Response(as_pdf(emergency_card()), media_type="application/pdf")
