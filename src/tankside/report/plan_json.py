"""A comparison of courses in the documented machine-readable shape."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from tankside.course import Caution, Level
from tankside.intake.situation import not_simulated
from tankside.plan import Blocked, Compared
from tankside.plan.turning import BestOfSide
from tankside.report.care_json import head_json
from tankside.report.plan_text import fishless_of
from tankside.report.validation_words import NOT_VALIDATED
from tankside.services.plan import PlanAnswer

if TYPE_CHECKING:
    from tankside.report.shapes.courses import (
        BlockedKindJson,
        ComparedCourseJson,
        CourseActionJson,
        TurnSideJson,
    )
    from tankside.report.shapes.shared import CautionJson, FishlessJson


def plan_json(answer: PlanAnswer) -> dict[str, object]:
    """Return the documented answer of ``plan --json``."""
    comparison, care = answer.comparison, answer.care
    head = {} if care is None else head_json(care)
    return {
        **head,
        "courses": [
            _course_json(answer, number, c) for number, c in enumerate(comparison.courses, 1)
        ],
        "blocked": [_blocked_json(blocked) for blocked in comparison.blocked],
        "search": {
            "candidates": comparison.candidates,
            "simulated": comparison.simulated,
            "histories": comparison.histories,
            "seconds": round(answer.seconds, 3),
            "horizon_days": comparison.horizon_days,
        },
        "turns": [
            {
                "key": turned.key,
                "sides": [_side_json(answer, side) for side in turned.sides],
            }
            for turned in comparison.turnings
        ],
        "organism": answer.organism.id,
        "temperature_c": answer.stage_durations.temperature_c,
        "seed": answer.seed,
        "comparison": {
            "id": answer.kept.id,
            "version": answer.kept.version,
            "kept": not answer.not_kept,
        },
        "not_validated": NOT_VALIDATED,
        "left_out": [{"name": lever.name, "why": lever.why} for lever in answer.left_out],
        "questions": dict(answer.case.questions),
        "not_simulated": list(not_simulated(answer.case.facts, answer.organism)),
    }


def _blocked_json(blocked: Blocked) -> BlockedKindJson:
    reasons = [_caution_json(reason) for reason in blocked.reasons]
    return {"kind": blocked.kind, "candidates": blocked.candidates, "reasons": reasons}


def _side_json(answer: PlanAnswer, side: BestOfSide) -> TurnSideJson:
    low, high = (None, None) if side.claim is None else side.claim.bounds()
    return {
        "reading": side.name,
        "low": low,
        "high": high,
        "source": "" if side.claim is None else side.claim.source,
        "best": answer.course_ids[side.best],
        "runs": side.runs,
    }


def _course_json(answer: PlanAnswer, number: int, compared: Compared) -> ComparedCourseJson:
    reached = compared.score
    work = reached.work_min_per_day
    return {
        "number": number,
        "id": answer.course_ids[number - 1],
        "name": compared.candidate.name,
        "kind": compared.candidate.kind,
        "clear_of_20": reached.clear.number,
        "clear_words": reached.clear.words,
        "p_clear": round(reached.clear.share, 4),
        "p_se": round(reached.clear.standard_error, 4),
        "lost_low": reached.lost_low if reached.deaths_known else None,
        "lost_middle": reached.lost_middle if reached.deaths_known else None,
        "lost_high": reached.lost_high if reached.deaths_known else None,
        "lost_useful": reached.losses_useful,
        "stock": reached.stock,
        "days": reached.days,
        "work_min_per_day": None if work is None else round(work, 1),
        "unbeaten": compared.unbeaten,
        "levers": [part.words for part in compared.candidate.removable],
        "actions": _actions_json(compared),
        "cautions": [_caution_json(c) for c in compared.run.safety if c.level is not Level.BLOCKED],
        "blocked": [_caution_json(c) for c in compared.run.blocked],
        "leaving_out": [
            {"action": left.words, "clear_of_20": left.clear.number, "words": left.clear.words}
            for left in compared.leaving_out
        ],
        "not_before": not_before_day(answer),
        "fishless": _fishless_json(answer, compared),
    }


def _actions_json(compared: Compared) -> list[CourseActionJson]:
    return [
        {
            "day": line.hour // 24,
            "hour": line.hour,
            "body": line.body,
            "kind": line.kind,
            "text": line.text,
            "amounts": [compared.run.amounts[index].text for index in line.amounts],
        }
        for line in compared.run.lines
    ]


def _fishless_json(answer: PlanAnswer, compared: Compared) -> FishlessJson | None:
    empty = fishless_of(answer, compared)
    if empty is None:
        return None
    return {"least_days": empty.least_d, "most_days": empty.most_d, "words": empty.words}


def not_before_day(answer: PlanAnswer) -> str | None:
    """Return the calendar day before which no stop may be discussed; None when there is none."""
    day = answer.not_before.day
    if day is None:
        return None
    return (answer.case.view.opened.moment.day + timedelta(days=day)).isoformat()


def _caution_json(caution: Caution) -> CautionJson:
    return {
        "level": str(caution.level),
        "code": caution.code,
        "words": caution.words,
        "why": caution.why,
        "instead": caution.what_instead,
        "claim": caution.claim_key,
        "agent": caution.agent,
        "group": caution.group,
    }
