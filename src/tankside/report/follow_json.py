"""The follow-up as one JSON object."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tankside.follow import Predicted
from tankside.intake.fishless import FishlessTank
from tankside.lifecycle import OfTwenty
from tankside.quantity.per import HOURS_PER_DAY
from tankside.report.follow_document import (
    clean_look_words,
    earliest_date,
    first_day,
    sighting_words,
)
from tankside.report.validation_words import NOT_VALIDATED
from tankside.services.follow_answer import FollowAnswer

if TYPE_CHECKING:
    from tankside.report.shapes.outlook import ChanceSaidJson, PredictedJson, RedatedJson
    from tankside.report.shapes.shared import FishlessJson


Json = dict[str, object]


def follow_json(answer: FollowAnswer) -> Json:
    """Return the documented answer of ``follow --json``."""
    belief = answer.belief
    return {
        "day": answer.day_number,
        "date": answer.day.isoformat(),
        **_chances_json(answer),
        **_not_before_json(answer),
        "advice": str(answer.decided.advice),
        "reasons": list(answer.decided.reasons),
        "zero_of_n": clean_look_words(answer.clean_look),
        "believed": _posterior_json(answer),
        "effective_runs": round(belief.effective, 1),
        "trust_in_counts": round(belief.trust, 3),
        "runs": belief.played,
        "explained": belief.explained,
        **_fit_json(answer),
        "at_strength": [
            {
                "agent": stand.agent,
                "counted": stand.counted,
                "needed": stand.needed,
                "lost": stand.lost,
                "held_until": stand.held_until.isoformat(),
            }
            for stand in answer.at_strength
        ],
        "fishless": [_fishless_json(tank) for tank in answer.fishless],
        "redated": _rescheduled_json(answer),
        "next_check": answer.next_check.isoformat(),
        "look": answer.look,
        "water_warnings": list(answer.water),
        "seed": answer.seed,
        "seconds": round(answer.seconds, 3),
        "not_validated": NOT_VALIDATED,
    }


def _fishless_json(tank: FishlessTank) -> FishlessJson:
    return {
        "body": tank.body,
        "since": tank.since.isoformat(),
        "least_days": tank.time.least_d,
        "most_days": tank.time.most_d,
        "words": tank.words,
    }


def _chances_json(answer: FollowAnswer) -> Json:
    """Return the chances that may be told; null where the runs alone would speak."""
    belief = answer.belief
    said = answer.decided.odds_said
    clear = belief.clear_now if said else None
    stopped = belief.returns_if_stopped if said else None
    going_on = belief.returns_going_on if said else None
    return {
        "clear_now_of_20": _number(clear),
        "clear_now": _share(clear),
        "returns_if_stopped_of_20": _number(stopped),
        "returns_if_stopped": _share(stopped),
        "returns_going_on_of_20": _number(going_on),
        "returns_going_on": _share(going_on),
    }


def _not_before_json(answer: FollowAnswer) -> Json:
    earliest = answer.not_before
    day = earliest_date(earliest, answer.case.view.opened.moment.day)
    return {
        "not_before": None if day is None else day.isoformat(),
        "not_before_day": earliest.day,
        "last_seen_day": earliest.last_seen,
        "slow_cycle_days": round(earliest.slow_cycle_d, 2),
        "temperature_c": earliest.temperature_c,
        "not_before_words": earliest.words,
        "not_before_dates": [{"day": named.day, "words": named.words} for named in earliest.dates],
    }


def _fit_json(answer: FollowAnswer) -> Json:
    first = first_day(answer)
    return {
        "fit": str(answer.decided.fit),
        "misfit": [_predicted_json(predicted, first) for predicted in answer.unexpected],
        "foretold": [_predicted_json(predicted, first) for predicted in answer.belief.predicted],
        "examine": [
            {"reason": str(row.reason), "pointers": list(row.pointers), "test": row.test}
            for row in answer.examine
        ],
    }


def _rescheduled_json(answer: FollowAnswer) -> RedatedJson | None:
    new = answer.rescheduled
    if new is None:
        return None
    return {
        "words": list(new.words),
        "later_h": new.later_h,
        "dropped": list(new.dropped),
        "hours": {str(index): hour for index, hour in new.hours.items()},
    }


def _number(share: OfTwenty | None) -> int | None:
    return None if share is None else share.number


def _share(share: OfTwenty | None) -> ChanceSaidJson | None:
    if share is None:
        return None
    return {
        "words": share.words,
        "share": round(share.share, 4),
        "standard_error": round(share.standard_error, 4),
    }


def _posterior_json(answer: FollowAnswer) -> Json | None:
    posterior = answer.belief.posterior
    if posterior is None:
        return None
    rows = {
        "on_fish": posterior.on_fish,
        "on_bottom": posterior.on_bottom,
        "in_water": posterior.in_water,
    }
    return {
        name: {"low": row.low, "middle": row.middle, "high": row.high} for name, row in rows.items()
    }


def _predicted_json(predicted: Predicted, first: int) -> PredictedJson:
    return {
        "day": first + predicted.sighting.hour // HOURS_PER_DAY,
        "what": sighting_words(predicted.sighting),
        "seen": predicted.seen,
        "low": predicted.low,
        "high": predicted.high,
        "tail": round(predicted.tail, 5),
    }
