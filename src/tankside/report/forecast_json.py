"""A forecast as one JSON object; never is null."""

from __future__ import annotations

from dataclasses import asdict
from datetime import timedelta
from math import isfinite

from tankside.lifecycle import ActiveFactor, OfTwenty
from tankside.lifecycle.results.clean_look import CleanLook
from tankside.lifecycle.results.first_passage import FirstPassage
from tankside.lifecycle.results.outcome import DayOutcome, Quantiles, shown
from tankside.lifecycle.results.sensitivity import Sensitivity
from tankside.lifecycle.results.sweep import Flip
from tankside.report.claim_words import claim_words
from tankside.report.validation_words import NOT_VALIDATED
from tankside.services.forecast import Ahead, Forecast
from tankside.services.forecast_sampled import SampledRow
from tankside.services.forecast_sweep import Swept

Json = dict[str, object]


def forecast_json(found: Forecast) -> Json:
    """Return the documented answer of ``forecast --json``."""
    day = found.not_before.day
    first = found.case.view.opened.moment.day
    return {
        "organism": found.organism.id,
        "temperature_c": found.stage_durations.temperature_c,
        "windows_days": [
            {"what": name, "low": finite(low), "middle": finite(middle), "high": finite(high)}
            for name, (low, middle, high) in found.stage_durations.rows()
        ],
        "not_before": None if day is None else (first + timedelta(days=day)).isoformat(),
        "plan": asdict(found.followed),
        "day_0": found.day_at(0).isoformat(),
        "runs": found.runs,
        "counted": {"how": found.how, "group": found.group, "fish": found.look_fish},
        "water": [asdict(one) for one in found.water],
        "courses": [_course_json(found, ahead) for ahead in found.ahead],
        "sampled": [_sampled_json(found, row) for row in found.sampled],
        "sweeps": [_swept_json(found, swept) for swept in found.swept],
        "questions": dict(found.case.questions),
        "seed": found.seed,
        "seconds": round(found.seconds, 3),
        "not_validated": NOT_VALIDATED,
    }


def _sampled_json(found: Forecast, row: SampledRow) -> Json:
    key, *others = asdict(row).items()
    return dict([key, ("words", claim_words(row.key, found.organism)), *others])


def finite(value: float) -> float | None:
    """Return a number, None for infinite."""
    return value if isfinite(value) else None


def told(name: str, found: OfTwenty | None) -> Json:
    """Return a share under three keys: number of 20, words, share."""
    if found is None:
        return {f"{name}_of_20": None, f"{name}_words": None, f"p_{name}": None}
    return {
        f"{name}_of_20": found.number,
        f"{name}_words": found.words,
        f"p_{name}": round(found.share, 4),
    }


def spread_json(found: Quantiles | None) -> Json | None:
    """Return the five quantiles; None where the number is not defined."""
    if found is None:
        return None
    return {name: finite(value) for name, value in asdict(found).items()}


def _course_json(found: Forecast, ahead: Ahead) -> Json:
    lost = ahead.lost
    return {
        "name": ahead.name,
        **told("clear", ahead.end.clear),
        "p_se": round(ahead.end.clear.standard_error, 4),
        **told("left", ahead.end.left),
        **told("no_fish", ahead.end.no_fish),
        "deaths_known": found.deaths,
        "lost_low": round(lost.low) if found.deaths else None,
        "lost_high": round(lost.high) if found.deaths else None,
        "lost_useful": found.deaths and shown(lost, ahead.fish),
        "lost_by_group": {
            group: {"low": number.low, "high": number.high, "of": ahead.stock[group],
                    "useful": shown(number, ahead.stock[group])}
            for group, number in ahead.lost_by_group.items() if found.deaths
        },
        "stock": ahead.fish,
        "acts": [_factors_json(one) for one in ahead.factors],
        "passages": [_first_passage_json(one) for one in ahead.first_passages],
        **told("clear_when_seen_free", ahead.seen_free_clear),
        "clear_days": [finite(day) for day in ahead.clear_days],
        "last_dose_day": finite(ahead.last_dose),
        "treated_until_day": round(ahead.treated_until, 2),
        "clean_look_from_day": finite(ahead.trusted_from),
        "moves_clearance": _moves_json(found, ahead.moves_clearance),
        "moves_losses": _moves_json(found, ahead.moves_losses),
        "days": [
            _day_json(found, day, look)
            for day, look in zip(ahead.days, ahead.looks, strict=True)
        ],
    }  # fmt: skip


def _factors_json(one: ActiveFactor) -> Json:
    return {
        "kind": one.kind,
        "what": one.driver,
        "reaches": list(one.reaches),
        "no_figure": [{"stage": stage, "why": why} for stage, why in one.unknown],
    }


def _first_passage_json(one: FirstPassage) -> Json:
    return {
        "what": one.what,
        **told("happens", one.happens),
        "days": spread_json(one.days),
        "useful": one.useful,
    }


def _moves_json(found: Forecast, moves: tuple[Sensitivity, ...]) -> list[Json]:
    return [
        {
            "key": move.key,
            "words": claim_words(move.key, found.organism),
            "rank_correlation": round(move.correlation, 4),
            "beyond_chance": move.beyond_chance,
        }
        for move in moves
    ]


def _day_json(found: Forecast, day: DayOutcome, look: CleanLook) -> Json:
    return {
        "day": day.day,
        "date": found.day_at(day.day).isoformat(),
        "counted": spread_json(day.counted),
        "countable_share": spread_json(day.countable),
        "burden_per_fish": spread_json(day.burden),
        "worst_visible": spread_json(day.worst_visible),
        "burden": spread_json(day.on_fish),
        "bottom": spread_json(day.bottom),
        "swimmers": spread_json(day.swimmers),
        "alive": spread_json(day.all_alive),
        "alive_by_group": {group: spread_json(one) for group, one in day.alive.items()},
        **told("clear", day.clear),
        **told("left", day.left),
        **told("no_fish", day.no_fish),
        **told("clean_look", look.nothing),
        **told("clear_if_clean", look.truly_clear),
    }


def _swept_json(found: Forecast, swept: Swept) -> Json:
    return {
        "key": swept.key,
        "words": claim_words(swept.key, found.organism),
        "courses": list(swept.courses),
        "treated_until_day": round(swept.treated_until, 2),
        "points": [
            {
                "value": point.value,
                "clear": [round(one.share, 4) for one in point.clear],
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


def _flip_json(flip: Flip) -> Json:
    return {
        "value": flip.value,
        "between": [flip.below, flip.above],
        "rising": flip.rising,
        "sure": flip.sure,
    }
