"""A forecast as one JSON object; never is null."""

from __future__ import annotations

from dataclasses import asdict
from math import isfinite
from typing import TYPE_CHECKING

from tankside.claims.organism import Organism
from tankside.lifecycle import ActiveFactor, OfTwenty
from tankside.lifecycle.results.clean_look import CleanLook
from tankside.lifecycle.results.first_passage import FirstPassage
from tankside.lifecycle.results.outcome import DayOutcome, Quantiles, shown
from tankside.lifecycle.results.sensitivity import Sensitivity
from tankside.lifecycle.results.sweep import Flip
from tankside.report.claim_words import claim_words
from tankside.report.follow_document import earliest_date
from tankside.report.forecast_sources import SPREADS, note_of, source_of
from tankside.report.validation_words import NOT_VALIDATED
from tankside.services.forecast_answer import CourseForecast, ForecastAnswer
from tankside.services.forecast_sampled import SampledRow
from tankside.services.forecast_sweep import Swept

if TYPE_CHECKING:
    from tankside.report.shapes.outlook import ActsJson, FlipJson, MoverJson, SampledJson, SweepJson


Json = dict[str, object]


def forecast_json(answer: ForecastAnswer) -> Json:
    """Return the documented answer of ``forecast --json``."""
    earliest = earliest_date(answer.not_before, answer.case.view.opened.moment.day)
    return {
        "organism": answer.organism.id,
        "temperature_c": answer.stage_durations.temperature_c,
        "windows_days": [
            {"what": name, "low": finite(low), "middle": finite(middle), "high": finite(high)}
            for name, (low, middle, high) in answer.stage_durations.rows()
        ],
        "not_before": None if earliest is None else earliest.isoformat(),
        "plan": asdict(answer.followed),
        "day_0": answer.day_at(0).isoformat(),
        "runs": answer.runs,
        "counted": {"how": answer.how, "group": answer.group, "fish": answer.look_fish},
        "water": [asdict(water) for water in answer.water],
        "courses": [_course_json(answer, course) for course in answer.courses],
        "sampled": [_sampled_json(row, answer.organism) for row in answer.sampled],
        "sweeps": [_swept_json(answer, swept) for swept in answer.swept],
        "questions": dict(answer.case.questions),
        "seed": answer.seed,
        "seconds": round(answer.seconds, 3),
        "not_validated": NOT_VALIDATED,
    }


def _sampled_json(row: SampledRow, organism: Organism) -> SampledJson:
    return {
        "key": row.key,
        "words": claim_words(row.key, organism),
        "low": row.low,
        "high": row.high,
        "unit": row.unit,
        "spread": SPREADS[row.spread],
        "source": source_of(row),
        "provenance": row.provenance,
        "confidence": row.confidence,
        "note": note_of(row),
        "rivals": [
            {
                "low": rival.low,
                "high": rival.high,
                "weight": rival.weight,
                "source": rival.source,
                "provenance": rival.provenance,
            }
            for rival in row.rivals
        ],
        "in_use": row.in_use,
    }


def finite(value: float) -> float | None:
    """Return a number, None for infinite."""
    return value if isfinite(value) else None


def share_json(name: str, share: OfTwenty | None) -> Json:
    """Return a share under three keys: number of 20, words, share."""
    if share is None:
        return {f"{name}_of_20": None, f"{name}_words": None, f"p_{name}": None}
    return {
        f"{name}_of_20": share.number,
        f"{name}_words": share.words,
        f"p_{name}": round(share.share, 4),
    }


def spread_json(spread: Quantiles | None) -> Json | None:
    """Return the five quantiles; None where the number is not defined."""
    if spread is None:
        return None
    return {name: finite(value) for name, value in asdict(spread).items()}


def _course_json(answer: ForecastAnswer, course: CourseForecast) -> Json:
    lost = course.lost
    return {
        "name": course.name,
        **share_json("clear", course.end.clear),
        "p_se": round(course.end.clear.standard_error, 4),
        **share_json("left", course.end.left),
        **share_json("no_fish", course.end.no_fish),
        "deaths_known": answer.losses_known,
        "lost_low": round(lost.low) if answer.losses_known else None,
        "lost_middle": round(lost.middle) if answer.losses_known else None,
        "lost_high": round(lost.high) if answer.losses_known else None,
        "lost_useful": answer.losses_known and shown(lost, course.fish),
        "lost_by_group": {
            group: {"low": number.low, "high": number.high, "of": course.stock[group],
                    "useful": shown(number, course.stock[group])}
            for group, number in course.lost_by_group.items() if answer.losses_known
        },
        "next_look": None if course.next_look is None else asdict(course.next_look),
        "stock": course.fish,
        "acts": [_factor_json(factor) for factor in course.factors],
        "passages": [_first_passage_json(passage) for passage in course.first_passages],
        **share_json("clear_when_seen_free", course.seen_free_clear),
        "clear_days": [finite(day) for day in course.clear_days],
        "last_dose_day": finite(course.last_dose),
        "treated_until_day": round(course.treated_until, 2),
        "clean_look_from_day": finite(course.trusted_from),
        "moves_clearance": _moves_json(answer, course.moves_clearance),
        "moves_losses": _moves_json(answer, course.moves_losses),
        "days": [
            _day_json(answer, day, look)
            for day, look in zip(course.days, course.looks, strict=True)
        ],
    }  # fmt: skip


def _factor_json(factor: ActiveFactor) -> ActsJson:
    return {
        "kind": factor.kind,
        "what": factor.driver,
        "reaches": list(factor.reaches),
        "no_figure": [{"stage": stage, "why": why} for stage, why in factor.unknown],
    }


def _first_passage_json(passage: FirstPassage) -> Json:
    return {
        "what": passage.what,
        **share_json("happens", passage.happens),
        "days": spread_json(passage.days),
        "useful": passage.useful,
    }


def _moves_json(answer: ForecastAnswer, moves: tuple[Sensitivity, ...]) -> list[MoverJson]:
    return [
        {
            "key": move.key,
            "words": claim_words(move.key, answer.organism),
            "rank_correlation": round(move.correlation, 4),
            "beyond_chance": move.beyond_chance,
        }
        for move in moves
    ]


def _day_json(answer: ForecastAnswer, day: DayOutcome, look: CleanLook) -> Json:
    return {
        "day": day.day,
        "date": answer.day_at(day.day).isoformat(),
        "counted": spread_json(day.counted),
        "countable_share": spread_json(day.countable),
        "burden_per_fish": spread_json(day.burden),
        "worst_visible": spread_json(day.worst_visible),
        "burden": spread_json(day.on_fish),
        "bottom": spread_json(day.bottom),
        "swimmers": spread_json(day.swimmers),
        "alive": spread_json(day.all_alive),
        "alive_by_group": {group: spread_json(alive) for group, alive in day.alive.items()},
        **share_json("clear", day.clear),
        **share_json("left", day.left),
        **share_json("no_fish", day.no_fish),
        **share_json("clean_look", look.nothing),
        **share_json("clear_if_clean", look.truly_clear),
    }


def _swept_json(answer: ForecastAnswer, swept: Swept) -> SweepJson:
    return {
        "key": swept.key,
        "words": claim_words(swept.key, answer.organism),
        "courses": list(swept.courses),
        "treated_until_day": round(swept.treated_until, 2),
        "points": [
            {
                "value": point.value,
                "clear": [round(share.share, 4) for share in point.clear],
                "difference": round(point.difference, 4),
                "difference_se": round(point.error, 4),
                "last_dose_day": finite(point.last_dose),
                "clean_look_from_day": finite(point.recheck),
            }
            for point in swept.points
        ],
        "choice_flips": [_flip_json(flip) for flip in swept.choice],
        "length_flips": [_flip_json(flip) for flip in swept.length],
    }


def _flip_json(flip: Flip) -> FlipJson:
    return {
        "value": flip.value,
        "between": [flip.below, flip.above],
        "rising": flip.rising,
        "sure": flip.sure,
    }
