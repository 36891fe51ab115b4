"""Write a re-dated course into a case after a step was missed or done twice."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from tankside.errors import NotPossible
from tankside.intake.assemble import midnight
from tankside.intake.chosen_course import chosen
from tankside.intake.claim_snapshot import KEY, claim_snapshot
from tankside.intake.course_as_done import rescheduled_course
from tankside.intake.course_codec import encode_course
from tankside.quantity.moment import hours_between
from tankside.records.case_store import read_case
from tankside.services.cases import add_fields
from tankside.services.follow_answer import FollowAnswer
from tankside.services.saving import Added


def write_redated(path: str | Path, answer: FollowAnswer, *, by: str) -> Added:
    """Write the re-dated course of a follow-up as the course followed from now on.

    Raises:
        NotPossible: E-PLAN-06 nothing was missed or done twice, so no date changes.
        CouldNotSave: the disk refused; nothing was written.
    """
    if answer.rescheduled is None:
        raise NotPossible(
            "E-PLAN-06",
            "No step was missed or done twice, so no date changes.",
            needed="an entry that a step was not done, or done twice",
            next_step="Enter what was done: tankside case add CASE not-done action=...",
            field="redate",
        )
    view = read_case(path).view()
    picked = chosen(view)
    shift = round(hours_between(answer.case.zero, picked.starts))
    course = rescheduled_course(picked.course, answer.rescheduled, shift, answer.now_h)
    fields: Mapping[str, object] = {
        "kind": "course_chosen",
        "occurred_at": _at(answer),
        "name": picked.name,
        "starts_at": picked.starts.text,
        "course": encode_course(course, picked.labels)
        | {KEY: claim_snapshot(answer.case.facts, course)},
        "seed": answer.seed,
        "reason": " ".join(answer.rescheduled.words),
        "replaces": f"plan {picked.version}",
    }
    return add_fields(path, [fields], by=by)


def _at(answer: FollowAnswer) -> str:
    last = answer.case.view.last_moment(answer.day)
    return (last if last.day == answer.day else midnight(answer.case.view, answer.day)).text
