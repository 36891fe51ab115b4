"""The style sheet, the scripts and the drawings, served from the package by name."""

from __future__ import annotations

from importlib.resources import files

from fastapi import APIRouter
from starlette.exceptions import HTTPException
from starlette.responses import Response

from tankside.present.plates import plate_svg

router = APIRouter(prefix="/static")
SVG = "image/svg+xml"
FILES = {
    "tankside.css": "text/css; charset=utf-8",
    "tankside.js": "text/javascript; charset=utf-8",
    "mark.svg": SVG,
}


@router.get("/plates/{name}.svg")
def show_plate(name: str) -> Response:
    """Return a drawing."""
    data = plate_svg(name)
    if data is None:
        raise HTTPException(404)
    return Response(data, media_type=SVG)


@router.get("/{name}")
def show_file(name: str) -> Response:
    """Return one of the files; nothing else is there."""
    if name not in FILES:
        raise HTTPException(404)
    data = files("tankside.web").joinpath("static", name).read_bytes()
    return Response(data, media_type=FILES[name])
