"""Turn page data into HTML: one template environment, everything escaped but our own drawings."""

from __future__ import annotations

from dataclasses import fields
from urllib.parse import quote

from fastapi import Request
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.responses import HTMLResponse

from tankside.errors import Mistake
from tankside.present.amounts import pieces, tie_units
from tankside.present.words import EXAMPLE_MARK
from tankside.quantity.address_number import address_number
from tankside.report.page import PAGES
from tankside.report.saved_reply import SavedReply, saved_reply
from tankside.report.ways import way_in, ways_in, without_commands
from tankside.web.contexts import Context
from tankside.web.pages.find import find_case
from tankside.web.sent_forms import new_number


def case_base(file: str) -> str:
    """Return the address that the pages of a case file begin with."""
    return f"/case/{quote(file, safe='')}"


def case_url(file: str) -> str:
    """Return the address of the first page of a case file."""
    return f"{case_base(file)}/story"


def html(request: Request, context: Context, status: int = 200) -> HTMLResponse:
    """Fill the template of a context."""
    page = filled(request.app.state.templates, context, _reply(request))
    return HTMLResponse(page, status)


def filled(templates: Environment, context: Context, reply: SavedReply | None = None) -> str:
    """Return the page of a context, with what is said of what was saved just before."""
    template = templates.get_template(context.template)
    values = {field.name: getattr(context, field.name) for field in fields(context)}
    return template.render(values, reply=reply)


def _reply(request: Request) -> SavedReply | None:
    """Return what is said of what was saved just before; None on any other page."""
    saved, file = request.query_params.get("saved", ""), request.path_params.get("file")
    number = address_number(saved)
    if not file or number is None:
        return None
    try:
        return saved_reply(find_case(request, file), number)
    except Mistake:
        return None


def environment() -> Environment:
    """Return the templates; an undefined name is an error, never an empty place."""
    templates = Environment(
        loader=PackageLoader("tankside.web"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_tied,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.globals.update(
        url=case_url,
        base_of=case_base,
        pieces=pieces,
        pages=tuple(PAGES.items()),
        example_mark=EXAMPLE_MARK,
        new_number=new_number,
        way_in=way_in,
        ways_in=ways_in,
    )
    templates.filters["plain"] = without_commands
    return templates


def _tied(value: object) -> object:
    """Tie number and unit in every text shown; our own drawings pass as they are."""
    return tie_units(value) if isinstance(value, str) and not isinstance(value, Markup) else value
