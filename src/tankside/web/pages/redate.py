"""New dates for the course that is followed, after a step was missed or done twice."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse

from tankside.errors import NotPossible
from tankside.intake.follow_setup import FollowRequest
from tankside.services.by_cause import follow_by_cause
from tankside.services.care_case import CareAnswer
from tankside.services.reschedule import write_redated
from tankside.web.form_data import Form
from tankside.web.pages.enter import FORM, SEE_OTHER
from tankside.web.pages.find import find_case
from tankside.web.render import case_base

router = APIRouter(prefix="/case/{file}/redate")


@router.post("")
def redate(request: Request, file: str, sent: Form) -> RedirectResponse:
    """Write the course with its new dates; the old card is void and says so."""
    path, by = find_case(request, file), request.app.state.by

    def save() -> str:
        answer = follow_by_cause(path, FollowRequest())
        if isinstance(answer, CareAnswer):
            raise NotPossible(
                "E-PLAN-06",
                "The steps of a course of care keep their days.",
                needed="a course against a parasite",
                next_step="Do what was left out as soon as it can be done, and say so.",
                field="redate",
            )
        added = write_redated(path, answer, by=by)
        return f"{case_base(file)}/day?saved={added.new[0].id}"

    number = (sent.get(FORM) or [""])[0]
    return RedirectResponse(request.app.state.sent_forms.once(number, save), SEE_OTHER)
