"""Set a page template with data by Typst, with the bundled font alone.

Data goes in as JSON beside the template, so that a name holding commands of the template language
is printed as it stands.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from importlib.resources import as_file, files
from typing import Any

from tankside.errors import NotPossible

FIRST_WIDE_SIGN = 0x2E80
"""From this code point on (East Asian scripts) the bundled font has no signs."""
PAPERS = {"a4": "A4", "a5": "A5", "us-letter": "US Letter"}
"""Sizes of paper, each with its name."""
BEGINNING = datetime(2000, 1, 1, tzinfo=UTC)
"""Stamp of every document, so that the same data give the same bytes."""


def set_page(template: str, name: str, data: Mapping[str, object], paper: str = "a4") -> bytes:
    """Return a PDF.

    Args:
        template: file name of a template in this room.
        name: the key under which the template reads its data.
        data: what it shows; strings are shown as they are.
        paper: "a4", "a5" or "us-letter".

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
    """
    try:
        import typst
        from fontpkg_noto_sans import __file__ as fonts_at  # noqa: F401 (shows it is there)
    except ImportError:
        raise NotPossible(
            "E-PRINT-01",
            "The libraries that make a PDF are not installed.",
            needed="the print extra of this program",
            next_step="Print the page of the workbench instead, or install the print extra.",
        ) from None
    text = json.dumps(data, ensure_ascii=False, allow_nan=False)
    wide = any(ord(sign) >= FIRST_WIDE_SIGN for sign in text)
    typst_source: Any = files("tankside.present").joinpath("typst", template).read_bytes()
    with as_file(files("fontpkg_noto_sans").joinpath("files")) as fonts:
        made = typst.compile(
            typst_source,
            font_paths=[str(fonts)],
            ignore_system_fonts=not wide,
            sys_inputs={name: text, "paper": paper},
            timestamp=BEGINNING,
        )
    return bytes(made)
