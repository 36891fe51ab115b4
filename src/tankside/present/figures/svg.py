"""Draw a chart specification as SVG that takes the ink of the page it stands in."""

from __future__ import annotations

import re
from html import escape
from types import ModuleType

from tankside.errors import NotPossible
from tankside.present.figures.figure import Figure

INNER_ROLES = re.compile(r' (?:role="graphics-[a-z]+"|aria-roledescription="[^"]*")')
"""What the drawing library says of each mark: the figure is spoken as a whole, by its sentence."""


def as_svg(figure: Figure) -> str:
    """Return the figure as one SVG element with its sentence as the spoken label.

    Raises:
        NotPossible: E-PRINT-02 when the drawing library is not installed.
    """
    drawn: str = drawing_library().vegalite_to_svg(dict(figure.spec), allowed_base_urls=[])
    label = escape(figure.sentence, quote=True)
    return INNER_ROLES.sub("", drawn).replace("<svg ", f'<svg role="img" aria-label="{label}" ', 1)


def drawing_library() -> ModuleType:
    """Return the library that draws.

    Raises:
        NotPossible: E-PRINT-02 when it is not installed.
    """
    try:
        import vl_convert
    except ImportError:
        raise NotPossible(
            "E-PRINT-02",
            "The library that draws figures is not installed.",
            needed="the print extra of this program",
            next_step="Read the table beside the figure, or install the print extra.",
        ) from None
    return vl_convert
