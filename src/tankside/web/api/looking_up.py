"""What is on file: signs, kinds of animals, claims and works."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query
from starlette.responses import JSONResponse

from tankside.report.findings_list import findings_json
from tankside.report.knowledge import kinds_json, look_up_json, rivals_json, sources_json
from tankside.services.findings import findings
from tankside.services.knowledge import counts, kinds, look_up, rivals, sources
from tankside.web.api.said import answered, say
from tankside.web.api.typed import LONGEST

router = APIRouter(tags=["knowledge"])
Part = Annotated[
    str, Query(max_length=LONGEST, description="part of a name", examples=["spot", "koi"])
]
Key = Annotated[
    str,
    Path(
        max_length=LONGEST,
        description="of a claim, a subject or a work",
        examples=["agent.sodium_chloride", "agent.sodium_chloride.dose.prolonged"],
    ),
]


@router.get("/findings", responses=answered("findings"))
def list_findings(word: Part = "") -> JSONResponse:
    """List the signs that can be entered, and their answers."""
    return say(findings_json(findings(word)))


@router.get("/kinds", responses=answered("kinds"))
def list_kinds(word: Part = "") -> JSONResponse:
    """List the kinds of animals and plants on file."""
    return say(kinds_json(kinds(word)))


@router.get("/claims/{key}", responses=answered("claims", "source"))
def show_claims(key: Key) -> JSONResponse:
    """Show a claim, a whole subject or a work."""
    return say(look_up_json(look_up(key)))


@router.get("/claims/{key}/rivals", responses=answered("rivals"))
def show_rivals(key: Key) -> JSONResponse:
    """Show the claims that stand side by side, the default and why it is."""
    return say(rivals_json(rivals(key)))


@router.get("/sources", responses=answered("sources"))
def list_sources() -> JSONResponse:
    """List the works and how many claims cite each."""
    return say(sources_json(sources()))


@router.get("/counts", responses=answered("counts"))
def count_claims() -> JSONResponse:
    """Count claims and works."""
    return say(dict(counts()))
