"""What is worked out from a case at once: what fits, and what is done on a day."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import JSONResponse

from tankside.intake.findings_file import findings_of, seed_of
from tankside.report.care_json import care_json
from tankside.report.day_card import day_card_json
from tankside.report.differential_json import case_differential_json, differential_json
from tankside.report.differential_words import IDEA_SHOWN_BY
from tankside.services.by_cause import today_by_cause
from tankside.services.care_case import CareAnswer
from tankside.services.differential import differential
from tankside.services.differential_case import differential_of, write_own_idea
from tankside.web.api.said import answered, say
from tankside.web.api.typed import (
    CaseName,
    Day,
    FindingsBody,
    IdeaBody,
    Seed,
    Several,
    System,
)
from tankside.web.pages.find import find_case

router = APIRouter(tags=["answers"])


@router.get("/cases/{case}/differential", responses=answered("case-differential"))
def what_fits(
    request: Request,
    case: CaseName,
    system: System = None,
    seed: Seed = None,
    cannot: Several = [],  # noqa: B006 (the framework copies it)
) -> JSONResponse:
    """Rank the causes, with what speaks for and against each, and what to look at next."""
    path = find_case(request, case)
    ranked = differential_of(path, system=system, seed=seed, cannot=frozenset(cannot))
    return say(case_differential_json(ranked))


@router.post("/cases/{case}/own-idea", responses=answered("case-differential"))
def keep_own_idea(request: Request, case: CaseName, body: IdeaBody) -> JSONResponse:
    """Keep the first idea of whoever examines, then rank."""
    path, by = find_case(request, case), request.app.state.by
    write_own_idea(path, body.condition, shown_by=IDEA_SHOWN_BY, by=by)
    return say(case_differential_json(differential_of(path)))


@router.post("/differential", responses=answered("differential"))
def rank_findings(body: FindingsBody) -> JSONResponse:
    """Rank the causes of findings that stand in no case; nothing is saved."""
    seen = findings_of({"findings": body.findings, "unconfirmed": body.unconfirmed})
    seed = seed_of(seen) if body.seed is None else body.seed
    return say(differential_json(differential(seen, seed=seed, cannot=frozenset(body.cannot))))


@router.get("/cases/{case}/today", responses=answered("day-card", "care"))
def what_to_do(request: Request, case: CaseName, date: Day = None) -> JSONResponse:
    """Return the card of a day, or the care of the case where no course is followed."""
    day = today_by_cause(find_case(request, case), date)
    return say(care_json(day) if isinstance(day, CareAnswer) else day_card_json(day))
