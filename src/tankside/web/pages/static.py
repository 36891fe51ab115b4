"""The style sheet, the scripts and the drawings, served from the package by name."""

from __future__ import annotations

from hashlib import sha256
from importlib.resources import files

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from tankside.present.plates import plate_svg

router = APIRouter(prefix="/static")
SVG = "image/svg+xml"
FILES = {
    "tankside.css": "text/css; charset=utf-8",
    "tankside.js": "text/javascript; charset=utf-8",
    "learn.css": "text/css; charset=utf-8",
    "learn.js": "text/javascript; charset=utf-8",
    "mark.svg": SVG,
}


@router.get("/plates/{name}.svg")
def show_plate(request: Request, name: str) -> Response:
    """Return a drawing."""
    data = plate_svg(name)
    if data is None:
        raise HTTPException(404)
    return _kept(request, data, SVG)


@router.get("/{name}")
def show_file(request: Request, name: str) -> Response:
    """Return one of the files; nothing else is there."""
    if name not in FILES:
        raise HTTPException(404)
    data = files("tankside.web").joinpath("static", name).read_bytes()
    return _kept(request, data, FILES[name])


def _kept(request: Request, data: bytes, kind: str) -> Response:
    """Return a file, or that what the browser kept of it still holds."""
    tag = f'"{sha256(data).hexdigest()[:20]}"'
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers={"etag": tag})
    return Response(data, media_type=kind, headers={"etag": tag})
