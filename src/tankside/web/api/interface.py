"""The interface as an application of its own: its addresses, its refusals, its document.

    python -m tankside.web.api.interface > docs/schema/openapi.v1.json

writes the document anew; a test holds the file to the program.
"""

from __future__ import annotations

import json
import sys
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.openapi.utils import get_openapi
from starlette.datastructures import State
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse

from tankside.errors import BadInput, Mistake, NotPossible
from tankside.web.api import answers, cases, long_work, looking_up, sums
from tankside.web.api.address import API
from tankside.web.api.said import every_part, refuse

VERSION = "1"
TITLE = "Tankside"
ABOUT = (
    "The answers of the command line as JSON, on this machine only. Come in by the address that "
    "`tankside serve` prints: it hands over a cookie, without which nothing is answered. What is "
    "sent is JSON with an Origin header of this very server. It shows options and what speaks for "
    "and against each; it does not replace a licensed veterinarian, a label or a local rule."
)
UNREADABLE, NO_JSON, NO_SUCH = 422, 400, 404
COOKIE = "tankside-PORT"


def interface(state: State) -> FastAPI:
    """Return the interface.

    Args:
        state: what the pages share with it: where the cases stand, who writes, the worker.
    """
    app = FastAPI(
        title=TITLE, version=VERSION, description=ABOUT, docs_url=None, redoc_url=None,
        openapi_url="/openapi.json",
    )  # fmt: skip
    app.state = state
    for part in (cases, answers, long_work, sums, looking_up):
        app.include_router(part.router)
    app.add_exception_handler(Mistake, _mistake)
    app.add_exception_handler(RequestValidationError, _misfit)
    app.add_exception_handler(HTTPException, not_there)
    app.add_exception_handler(Exception, _fault)
    app.openapi = lambda: document(app)  # type: ignore[method-assign]
    return app


def document(app: FastAPI) -> dict[str, Any]:
    """Return the OpenAPI document of the interface, with the schema of every answer."""
    if app.openapi_schema is None:
        made = get_openapi(
            title=TITLE, version=VERSION, description=ABOUT, routes=app.routes,
            servers=[{"url": API}],
        )  # fmt: skip
        parts = made.setdefault("components", {})
        parts.setdefault("schemas", {}).update(every_part())
        for unused in ("HTTPValidationError", "ValidationError"):
            parts["schemas"].pop(unused, None)
        parts["securitySchemes"] = {"came-in": {"type": "apiKey", "in": "cookie", "name": COOKIE}}
        made["security"] = [{"came-in": []}]
        app.openapi_schema = made
    return app.openapi_schema


def document_text() -> str:
    """Return the document as the text of the published file."""
    made = document(interface(State()))
    return json.dumps(made, indent=1, sort_keys=True, ensure_ascii=False) + "\n"


async def _mistake(request: Request, fault: Exception) -> JSONResponse:
    assert isinstance(fault, Mistake)
    return refuse(fault)


async def _misfit(request: Request, fault: Exception) -> JSONResponse:
    assert isinstance(fault, RequestValidationError)
    first = fault.errors()[0]
    place = ".".join(str(part) for part in first["loc"])
    return refuse(_other_shape(place, first["msg"]), UNREADABLE)


def _other_shape(place: str, why: str) -> BadInput:
    return BadInput(
        "E-WEB-10",
        "What was sent does not have the shape that the interface asks for.",
        given=f"{place}: {why}",
        needed="what openapi.json says of this address",
        next_step="Correct it and send it again; nothing was saved.",
        field=place,
    )


async def not_there(request: Request, fault: Exception) -> JSONResponse:
    """Refuse an address that is not there, or that is asked in another way."""
    status = fault.status_code if isinstance(fault, HTTPException) else NO_SUCH
    if status == NO_JSON:
        return refuse(_other_shape("body", "it cannot be read as JSON"), UNREADABLE)
    words = BadInput(
        "E-WEB-05",
        "There is no such address.",
        given=f"{request.method} {request.url.path}",
        needed="an address that openapi.json lists",
        next_step=f"Read {API}/openapi.json.",
    )
    return refuse(words, status)


async def _fault(request: Request, fault: Exception) -> JSONResponse:
    words = NotPossible(
        "E-WEB-99",
        "This answer could not be made. The program is at fault; the case was not touched.",
        given=request.url.path,
        needed="a program without this fault; what you asked for was in order",
        next_step="Report it with the code; what you had saved stands.",
    )
    return refuse(words, 500)


if __name__ == "__main__":
    sys.stdout.write(document_text())
