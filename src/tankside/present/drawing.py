"""A figure as a piece of a document."""

from __future__ import annotations

from tankside.errors import NotPossible
from tankside.present.blocks import Drawing
from tankside.present.figures import Figure, as_svg


def drawing(title: str, figure: Figure) -> Drawing:
    """Return a figure with its drawing, or without where the drawing library is missing."""
    try:
        svg = as_svg(figure)
    except NotPossible:
        svg = ""
    return Drawing(title, svg, figure.sentence, figure.table)
