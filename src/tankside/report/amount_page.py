"""One amount asked for on a page of a case: the sum, or why no amount may be shown."""

from __future__ import annotations

from collections.abc import Mapping

from tankside import library
from tankside.case import CaseView
from tankside.errors import Mistake
from tankside.intake.dose_request import DoseRequest
from tankside.present.blocks import Document
from tankside.report.amount_forms import amount_document
from tankside.services.amounts import amount_asked

ASKED = ("agent", "strength", "system", "route", "minutes", "changed", "reason")
"""What may be filled in; everything else comes from the case."""
ROUTES = ("prolonged", "bath", "dip", "feed", "equipment")
SUBSTANCE = "substance"


def amount_page(view: CaseView, asked: Mapping[str, str]) -> Document | Mistake | None:
    """Return one amount with its sum; None while nothing was asked, the refusal where there is one.

    Nothing is written into the case.

    Args:
        view: the case.
        asked: what was filled in, by the names of ``ASKED``.
    """
    said = {name: asked[name].strip() for name in ASKED if asked.get(name, "").strip()}
    if not said.get("agent") and not said.get("strength"):
        return None
    request = DoseRequest(
        agent=said.get("agent", ""),
        strength=said.get("strength", ""),
        system=said.get("system"),
        route=said.get("route", ROUTES[0]),
        minutes=said.get("minutes"),
        changed=said.get("changed"),
        reason=said.get("reason", ""),
    )
    try:
        return amount_document(amount_asked(request, view))
    except Mistake as refused:
        return refused


def agent_names() -> tuple[str, ...]:
    """Return the names of the substances on file, to be chosen from."""
    agents = library.load().agents.values()
    return tuple(sorted(agent.name for agent in agents if agent.kind == SUBSTANCE))
