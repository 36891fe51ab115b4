"""The emergency card, one step from every page."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from tankside.present.emergency import as_pdf, emergency_card

router = APIRouter()


@router.get("/emergency", response_class=HTMLResponse)
def show_emergency(request: Request) -> HTMLResponse:
    """Show the card."""
    template = request.app.state.templates.get_template("emergency.html")
    return HTMLResponse(template.render(here="emergency", card=emergency_card()))


@router.get("/emergency.pdf")
def show_emergency_paper() -> Response:
    """Return the card as a PDF."""
    return Response(as_pdf(emergency_card()), media_type="application/pdf")
