"""Write a re-dated course into a case after a step was missed or done twice."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from tankside.errors import NotPossible
from tankside.intake.assemble import chosen, midnight
from tankside.intake.claim_snapshot import KEY, claim_snapshot
from tankside.intake.course_as_done import rescheduled_course
from tankside.intake.course_codec import encode_course
from tankside.quantity.moment import hours_between
from tankside.records.case_file import read_case
from tankside.services.cases import Added, add_fields
from tankside.services.follow import FollowUp


def write_redated(path: str | Path, found: FollowUp, *, by: str) -> Added:
    """Write the re-dated course of a follow-up as the course followed from now on.

    Raises:
        NotPossible: E-PLAN-06 nothing was missed or done twice, so no date changes.
        CouldNotSave: the disk refused; nothing was written.
    """
    if found.rescheduled is None:
        raise NotPossible(
            "E-PLAN-06",
            "No step was missed or done twice, so no date changes.",
            needed="an entry that a step was not done, or done twice",
            next_step="Enter what was done: tankside case add CASE not-done action=...",
            field="redate",
        )
    view = read_case(path).view()
    picked = chosen(view)
    shift = round(hours_between(found.case.zero, picked.starts))
    course = rescheduled_course(picked.course, found.rescheduled, shift, found.now_h)
    fields: Mapping[str, object] = {
        "kind": "course_chosen",
        "occurred_at": _at(found),
        "name": picked.name,
        "starts_at": picked.starts.text,
        "course": encode_course(course, picked.labels)
        | {KEY: claim_snapshot(found.case.facts, course)},
        "seed": found.seed,
        "reason": " ".join(found.rescheduled.words),
        "replaces": f"plan {picked.version}",
    }
    return add_fields(path, [fields], by=by)


def _at(found: FollowUp) -> str:
    last = found.case.view.last_moment(found.day)
    return (last if last.day == found.day else midnight(found.case.view, found.day)).text
