"""Turn page data into HTML: one template environment, everything escaped but our own drawings."""

from __future__ import annotations

from urllib.parse import quote

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from tankside.present.amounts import pieces, tie_units

PAGES = (
    ("story", "Story"),
    ("tank", "Tank and stock"),
    ("water", "Water"),
    ("fits", "What fits"),
    ("plans", "Plans"),
    ("course", "Course"),
    ("forecast", "Forecast"),
    ("day", "Day card"),
    ("follow", "Follow-up"),
)


def case_url(file: str) -> str:
    """Return the address of a case file's pages."""
    return f"/case/{quote(file, safe='')}/story"


def _tied(value: object) -> object:
    """Tie number and unit in every text shown; our own drawings pass as they are."""
    return tie_units(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def environment() -> Environment:
    """Return the templates; an undefined name is an error, never an empty place."""
    made = Environment(
        loader=PackageLoader("tankside.web"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_tied,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(url=case_url, pieces=pieces, pages=PAGES)
    return made
