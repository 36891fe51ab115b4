"""The cases that are served: list, open, read, add to, correct."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Request
from starlette.responses import JSONResponse

from tankside.records.case_store import read_case
from tankside.report.case_list import list_json
from tankside.report.case_photos_text import photos_json
from tankside.report.case_show import case_json
from tankside.report.letters_json import letter_json
from tankside.report.page import open_case
from tankside.report.plan_text import chosen_json
from tankside.report.saved_json import added_json
from tankside.services import cases
from tankside.services.case_photos import photos_of
from tankside.services.letters import letter
from tankside.services.saving import Added, Sent
from tankside.services.start_check import Agreed, start_course
from tankside.web.api.said import MADE, answered, say
from tankside.web.api.typed import (
    HIGHEST_SEED,
    CaseName,
    CorrectionBody,
    CourseBody,
    EntriesBody,
    NewCaseBody,
)
from tankside.web.pages.find import find_case, shelf_of

router = APIRouter(prefix="/cases", tags=["cases"])
Number = Annotated[int, Path(ge=1, le=HIGHEST_SEED, description="number of an entry")]
Kind = Annotated[
    str, Path(max_length=40, description="of a letter", examples=["all-clear", "laboratory"])
]


@router.get("", responses=answered("case-list"))
def list_of_cases(request: Request) -> JSONResponse:
    """List the cases that are served; a case is named in addresses as ``file`` says it."""
    return say(list_json(shelf_of(request).listed()))


@router.post("", status_code=MADE, responses=answered("added", status=MADE))
def open_a_case(request: Request, body: NewCaseBody) -> JSONResponse:
    """Open a case."""
    typed = body.model_dump(exclude={"role"})
    opening = cases.Opening(**typed)
    shelf = shelf_of(request)
    added = cases.new_case(
        shelf.place_for(opening.name), opening, by=request.app.state.by, role=body.role
    )
    return _said(request, added, country=body.country)


@router.get("/{case}", responses=answered("case"))
def show_case(request: Request, case: CaseName) -> JSONResponse:
    """Show what a case says now, and every entry."""
    return say(case_json(open_case(find_case(request, case))))


@router.get("/{case}/lines", responses=answered("exported-lines"))
def show_lines(request: Request, case: CaseName) -> JSONResponse:
    """Return a case in its one canonical spelling, line by line."""
    text = cases.export_case(find_case(request, case)).decode("utf-8")
    return say({"lines": text.splitlines()})


@router.post("/{case}/entries", status_code=MADE, responses=answered("added", status=MADE))
def add_entries(request: Request, case: CaseName, body: EntriesBody) -> JSONResponse:
    """Add what was seen, measured or done: an examination, a count, an answer to a step."""
    path, by = find_case(request, case), request.app.state.by
    key = f"{case} {body.submission}" if body.submission else ""

    def save() -> str:
        sent = Sent(body.seen, body.submission, body.role, body.again)
        new = cases.add_words(path, body.kind, body.words, by=by, sent=sent).new
        return f"{new[0].id} {new[-1].id}"

    first, last = map(int, request.app.state.sent_forms.once(key, save).split())
    stored = read_case(path)
    return _said(request, Added(stored, stored.entries[first - 1 : last]))


@router.post("/{case}/entries/{number}/correction", status_code=MADE,
             responses=answered("added", status=MADE))  # fmt: skip
def correct_entry(
    request: Request, case: CaseName, number: Number, body: CorrectionBody
) -> JSONResponse:
    """Put what an entry should have said beside it, or take it back; both stay."""
    added = cases.correct(
        find_case(request, case), number, body.kind, body.words,
        reason=body.reason, by=request.app.state.by, sent=Sent(body.seen, role=body.role),
    )  # fmt: skip
    return _said(request, added)


@router.post("/{case}/course", status_code=MADE, responses=answered("chosen", status=MADE))
def start_a_course(request: Request, case: CaseName, body: CourseBody) -> JSONResponse:
    """Start a compared course once its checks are answered, as on the page before its first step.

    Amounts rest on the volume and the label that were entered: check both. Labels, local law and a
    licensed veterinarian come first.
    """
    agreed = Agreed(body.label_read, body.second, body.stop_signs, body.reason)
    path, by = find_case(request, case), request.app.state.by
    added = start_course(path, body.course, agreed, by=by)
    named = {"file": shelf_of(request).name_of(added.stored)}
    return say(chosen_json(body.course, added) | named, MADE)


@router.get("/{case}/letters/{kind}", responses=answered("letter"))
def show_letter(request: Request, case: CaseName, kind: Kind) -> JSONResponse:
    """Write about a case: for the keeper when it is over, for a laboratory, for new fish."""
    return say(letter_json(letter(find_case(request, case), kind)))


@router.get("/{case}/photos", responses=answered("photos"))
def list_photos(request: Request, case: CaseName) -> JSONResponse:
    """List the pictures of a case; the bytes are at the address of the page that shows them."""
    return say(photos_json(photos_of(find_case(request, case)), ()))


def _said(request: Request, added: Added, country: str | None = None) -> JSONResponse:
    """Answer a save; a case is named as in addresses, not by its place on this machine."""
    named = {"file": shelf_of(request).name_of(added.stored)}
    return say(added_json(added, country) | named, MADE)
