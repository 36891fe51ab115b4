"""How an answer is sent, and how its schema is named in the interface's own document."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.responses import JSONResponse

from tankside.errors import Mistake
from tankside.report.shapes.catalogue import ANSWERS
from tankside.report.shapes.json_schema import Schema, schema_of
from tankside.web.api.address import JSON
from tankside.web.pages.refused import status_of

PARTS = "#/components/schemas/"
REFUSED = (403, 404, 409, 413, 415, 422, 507)
DONE, WAITING = 200, 202
MADE = 201


def answered(*names: str, status: int = DONE) -> dict[int | str, dict[str, Any]]:
    """Return what an address may answer, as the document says it.

    Args:
        names: of the answers, as in the catalogue of shapes.
        status: of the answer.
    """
    return {status: _described("The answer.", *names), **refusals()}


def refusals() -> dict[int | str, dict[str, Any]]:
    """Return how any address may refuse, as the document says it."""
    return {status: _described("Refused; nothing was saved.", "error") for status in REFUSED}


def still_working() -> dict[int | str, dict[str, Any]]:
    """Return how an address answers while its answer is being worked out."""
    return {WAITING: _described("Still being worked out: ask again.", "waiting")}


def _described(words: str, *names: str) -> dict[str, Any]:
    shapes = [{"$ref": f"{PARTS}{ANSWERS[name].shape.__name__}"} for name in names]
    versions = ", ".join(f"{name} version {ANSWERS[name].version}" for name in names)
    schema = shapes[0] if len(shapes) == 1 else {"anyOf": shapes}
    return {"description": f"{words} ({versions})", "content": {JSON: {"schema": schema}}}


def every_part() -> dict[str, Schema]:
    """Return the schemas of every answer that the document refers to."""
    parts: dict[str, Schema] = {}
    for answer in ANSWERS.values():
        schema_of(answer.shape, refs=PARTS, parts=parts)
    return parts


def say(content: Mapping[str, object], status: int = DONE) -> JSONResponse:
    """Send an answer."""
    return JSONResponse(dict(content), status)


def refuse(mistake: Mistake, status: int | None = None) -> JSONResponse:
    """Send a mistake in the form that ``--json`` gives it."""
    return JSONResponse(
        {"error": mistake.as_json()}, status_of(mistake) if status is None else status
    )
