"""The style sheet and the mark, served from the package by name."""

from __future__ import annotations

from importlib.resources import files

from fastapi import APIRouter
from starlette.exceptions import HTTPException
from starlette.responses import Response

router = APIRouter()
FILES = {"tankside.css": "text/css; charset=utf-8", "mark.svg": "image/svg+xml"}


@router.get("/static/{name}")
def show_file(name: str) -> Response:
    """Return one of the two files; nothing else is there."""
    if name not in FILES:
        raise HTTPException(404)
    data = files("tankside.web").joinpath("static", name).read_bytes()
    return Response(data, media_type=FILES[name])
