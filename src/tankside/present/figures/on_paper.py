"""A figure as a file of its own: SVG, PNG or PDF, black on white."""

from __future__ import annotations

import json

from tankside.errors import BadInput
from tankside.present.figures.figure import INK, Figure
from tankside.present.figures.svg import as_svg, drawing_library

SHARP = 2
KINDS = (".svg", ".png", ".pdf")


def as_file(figure: Figure, kind: str) -> bytes:
    """Return a figure as the bytes of a file.

    Args:
        figure: to draw.
        kind: ".svg", ".png" or ".pdf".

    Raises:
        BadInput: E-PRINT-03 another kind of file.
        NotPossible: E-PRINT-02 when the drawing library is not installed.
    """
    if kind not in KINDS:
        raise BadInput(
            "E-PRINT-03",
            "A figure cannot be drawn as that kind of file.",
            given=kind,
            needed="a file name ending in " + ", ".join(KINDS),
            next_step="Give the file one of these endings.",
            field="figure",
        )
    if kind == ".svg":
        return as_svg(figure).encode("utf-8")
    draw = drawing_library()
    spec = json.loads(json.dumps(figure.spec).replace(INK, "black"))
    spec["config"]["background"] = "white"
    if kind == ".png":
        return bytes(draw.vegalite_to_png(spec, scale=SHARP, allowed_base_urls=[]))
    return bytes(draw.vegalite_to_pdf(spec, allowed_base_urls=[]))
