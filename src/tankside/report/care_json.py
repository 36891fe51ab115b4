"""The documented JSON object of the care of a case, the same at every door."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tankside.claims.care import CareSection, CareStatement
from tankside.intake.care_course import OfferedCare
from tankside.report.care_words import look_words, not_simulated_words, step_words, treated_words
from tankside.services.care_case import CareAnswer, CareOfCause
from tankside.services.care_choice import care_names
from tankside.services.water_ahead import AheadRow, water_ahead

if TYPE_CHECKING:
    from tankside.report.shapes.courses import (
        AheadRowJson,
        CareCauseJson,
        CareCourseJson,
        CareStatementJson,
        WaterAheadJson,
    )


def care_json(answer: CareAnswer) -> dict[str, object]:
    """Return the care of a case.

    Args:
        answer: what is done for the causes of the case.
    """
    refused = None if answer.refused is None else answer.refused.as_json()
    return {
        "case": answer.view.name,
        "day": answer.day.isoformat(),
        **head_json(answer),
        "look_again": answer.look_again.isoformat(),
        "water": list(answer.remarks),
        "causes": [_cause(answer, care) for care in answer.cares],
        "deaths": [
            {"water": row.water, "dead": row.dead, "of": row.stock, "share_low": row.low,
             "share_high": row.high}
            for row in answer.deaths
        ],
        "care_courses": list(map(_offer, care_names(answer), answer.offers)),
        "water_ahead": _ahead(answer),
        "steps": [
            {"step": step.name, "at": step.at.isoformat(), "words": step_words(step),
             "answered": step.is_answered}
            for step in answer.steps
        ],
        "country": answer.country or None,
        "why_not_simulated": list(not_simulated_words(answer)),
        "refused": refused,
    }  # fmt: skip


def head_json(answer: CareAnswer) -> dict[str, object]:
    """Return what stands on top of every plan: the next hour, today, what is treated."""
    return {
        "next_hour": answer.next_hour.words,
        "today": answer.today.words,
        "treated": list(treated_words(answer)),
        "water_first": answer.water_first,
    }


def _offer(name: str, offer: OfferedCare) -> CareCourseJson:
    return {
        "id": name,
        "kind": offer.kind.value,
        "cause": offer.cause,
        "name": offer.course.name,
        "days": offer.course.days,
        "simulated": False,
        "steps": [
            {"at_h": action.at_h, "kind": action.kind, "words": getattr(action, "words", "")}
            for action in offer.course.actions
        ],
    }


def _ahead(answer: CareAnswer) -> WaterAheadJson | None:
    ahead = water_ahead(answer)
    if ahead is None:
        return None
    new = ahead.new_filter
    return {
        "course": ahead.course,
        "rows": list(map(_ahead_row, ahead.rows)),
        "not_known": list(ahead.asks),
        "filter_weeks": [list(weeks) for weeks in ahead.filter_weeks],
        "new_filter": None if new is None else {
            "changed_daily_share": new.share,
            "changed_daily": list(map(_ahead_row, new.changed)),
            "met": new.met[0], "of_readings": new.met[1], "met_left_out": new.met[2],
            "alkalinity_is_read": new.alkalinity_is_read,
        },
    }  # fmt: skip


def _ahead_row(row: AheadRow) -> AheadRowJson:
    return {
        "what": row.safe.what, "unit": row.safe.unit, "safe": row.safe.limit,
        "hours": list(row.at), "low": list(row.low), "high": list(row.high),
        "likely": list(row.likely), "safe_from_h": row.safe_h, "likely_safe_from_h": row.likely_h,
        "soonest_safe_from_h": row.soonest_h,
    }  # fmt: skip


def _cause(answer: CareAnswer, care: CareOfCause) -> CareCauseJson:
    sections = {section.value: care.of_cause(section) for section in CareSection}
    return {
        "cause": care.cause.cause,
        "name": care.cause.name,
        "certainty": care.cause.certainty.value,
        "why": care.cause.why,
        "began": care.began.isoformat(),
        "said": {name: [_statement(s) for s in said] for name, said in sections.items()},
        "tell": [_statement(duty) for duty in answer.duties(care)],
        "look_on": [day.isoformat() for day in care.look_on],
        "stop": list(look_words(care)),
        "advice": care.judged.advice.value,
        "reasons": list(care.judged.reasons),
    }


def _statement(statement: CareStatement) -> CareStatementJson:
    return {
        "key": statement.claim.key,
        "words": statement.words,
        "act": statement.act.value,
        "decides": statement.decides.value,
        "mark": statement.mark,
        "source": statement.claim.source,
        "country": statement.country or None,
        "as_of": statement.as_of or None,
    }
