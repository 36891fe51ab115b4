"""The printed address: it lets a browser in and leads on."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import RedirectResponse, Response

router = APIRouter()


@router.get("/start/{word}")
def start(request: Request, word: str, to: str = "/") -> Response:
    """Hand the browser the word of this run and go on to a page of this server."""
    entrance = request.app.state.entrance
    if not entrance.is_word(word):
        raise HTTPException(404)
    onward = to if to.startswith("/") and not to.startswith(("//", "/\\")) else "/"
    return RedirectResponse(onward, 303, {"set-cookie": entrance.set_cookie})
