"""Why it says so: the numbers behind a case, and the page of each with source and rivals."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from tankside.errors import BadInput
from tankside.report.claim_page import behind_lines, claim_page, number_lines, source_page
from tankside.report.page import open_case, strip
from tankside.services.knowledge import SourceAnswer, look_up, rivals
from tankside.services.numbers_behind import numbers_behind
from tankside.web.contexts import ClaimContext, ClaimsContext, SourceContext, WhyContext
from tankside.web.pages.find import find_case
from tankside.web.render import case_base, html

router = APIRouter()
LONGEST_KEY = 200


@router.get("/case/{file}/why", response_class=HTMLResponse)
def show_why(request: Request, file: str) -> HTMLResponse:
    """List the numbers that the answers to a case rest on."""
    case = open_case(find_case(request, file))
    uses = behind_lines(numbers_behind(case.view))
    return html(request, WhyContext("why", case_base(file), strip(case), uses))


@router.get("/claim", response_class=HTMLResponse)
def find_claims(request: Request, q: str = "") -> HTMLResponse:
    """List the claims that stand under a key or the start of one."""
    sought = q.strip()[:LONGEST_KEY]
    if not sought:
        return html(request, ClaimsContext("claim", "", (), None))
    try:
        answer = look_up(sought)
    except BadInput as nothing:
        return html(request, ClaimsContext("claim", sought, (), nothing), 404)
    if isinstance(answer, SourceAnswer):
        return html(request, SourceContext("claim", source_page(answer)))
    return html(request, ClaimsContext("claim", sought, number_lines(answer), None))


@router.get("/claim/{key}", response_class=HTMLResponse)
def show_claim(request: Request, key: str) -> HTMLResponse:
    """Show one number: the one that is used, why, and what stands beside it."""
    return html(request, ClaimContext("claim", claim_page(rivals(key[:LONGEST_KEY]))))


@router.get("/source/{key}", response_class=HTMLResponse)
def show_source(request: Request, key: str) -> HTMLResponse:
    """Show one work and what cites it."""
    answer = look_up(key[:LONGEST_KEY])
    if not isinstance(answer, SourceAnswer):
        return show_claim(request, key)
    return html(request, SourceContext("claim", source_page(answer)))
