"""The follow-up in words and in the documented JSON shape."""

from __future__ import annotations

from datetime import date, timedelta

from tankside.follow import PosteriorRange, Predicted
from tankside.lifecycle import OfTwenty, Sighting, opposite
from tankside.quantity.dates import day_words
from tankside.quantity.per import HOURS_PER_DAY
from tankside.report.validation_words import NOT_VALIDATED
from tankside.services.follow import FollowUp

DO_NOT = "DO NOT stop because the spots are gone."


def follow_json(found: FollowUp) -> dict[str, object]:
    """Return the documented answer of ``follow --json``."""
    return {
        "day": found.day_number,
        "date": found.day.isoformat(),
        "clear_now_of_20": _number(found.clear_now),
        "clear_now": _share(found.clear_now),
        "returns_if_stopped_of_20": _number(found.returns_if_stopped),
        "returns_if_stopped": _share(found.returns_if_stopped),
        "returns_going_on_of_20": _number(found.returns_going_on),
        "returns_going_on": _share(found.returns_going_on),
        "not_before": _not_before(found),
        "not_before_day": found.not_before.day,
        "last_seen_day": found.not_before.last_seen,
        "slow_cycle_days": round(found.not_before.slow_cycle_d, 2),
        "temperature_c": found.not_before.temperature_c,
        "not_before_words": found.not_before.words,
        "advice": str(found.decided.advice),
        "reasons": list(found.decided.reasons),
        "zero_of_n": found.zero,
        "believed": _posterior_json(found),
        "effective_runs": round(found.effective, 1),
        "trust_in_counts": round(found.trust, 3),
        "runs": found.played,
        "explained": found.explained,
        **_fit_json(found),
        "redated": _rescheduled_json(found),
        "next_check": found.next_check.isoformat(),
        "seed": found.seed,
        "seconds": round(found.seconds, 3),
        "not_validated": NOT_VALIDATED,
    }


def _fit_json(found: FollowUp) -> dict[str, object]:
    return {
        "misfit": [_predicted_json(one) for one in found.unexpected],
        "foretold": [_predicted_json(one) for one in found.predicted],
        "examine": [
            {"reason": str(one.reason), "pointers": list(one.pointers), "test": one.test}
            for one in found.examine
        ],
    }


def _rescheduled_json(found: FollowUp) -> dict[str, object] | None:
    new = found.rescheduled
    if new is None:
        return None
    return {
        "words": list(new.words),
        "later_h": new.later_h,
        "dropped": list(new.dropped),
        "hours": {str(index): hour for index, hour in new.hours.items()},
    }


def _not_before(found: FollowUp) -> str | None:
    day = found.not_before.day
    return None if day is None else day_of(found, day).isoformat()


def day_of(found: FollowUp, number: int) -> date:
    """Return the calendar day with a number, day 0 being the first of the case."""
    return found.case.view.opened.moment.day + timedelta(days=number)


def _number(told: OfTwenty | None) -> int | None:
    return None if told is None else told.number


def _share(told: OfTwenty | None) -> dict[str, object] | None:
    if told is None:
        return None
    return {
        "words": told.words,
        "share": round(told.share, 4),
        "standard_error": round(told.standard_error, 4),
    }


def _posterior_json(found: FollowUp) -> dict[str, object] | None:
    if found.posterior is None:
        return None
    rows = {
        "on_fish": found.posterior.on_fish,
        "on_bottom": found.posterior.on_bottom,
        "in_water": found.posterior.in_water,
    }
    return {
        name: {"low": row.low, "middle": row.middle, "high": row.high} for name, row in rows.items()
    }


def _predicted_json(one: Predicted) -> dict[str, object]:
    return {
        "day": one.sighting.hour // HOURS_PER_DAY,
        "what": sighting_words(one.sighting),
        "seen": one.seen,
        "low": one.low,
        "high": one.high,
        "tail": round(one.tail, 5),
    }


def sighting_words(sighting: Sighting) -> str:
    """Say which count it is: "spots on the worst of the loach"."""
    what = {"deaths": "dead", "scrape": "on a slide", "spots": "spots"}[sighting.how]
    kind = {"worst": "worst fish", "mean": "mean of the group", "each": "one fish"}[sighting.kind]
    return (
        f"{what}, {sighting.group}"
        if sighting.how == "deaths"
        else f"{what}, {kind}, " + (sighting.group)
    )


def follow_text(found: FollowUp) -> str:
    """Return the follow-up for a person."""
    view = found.case.view
    lines = [
        f"Follow-up: {view.name}, day {found.day_number} ({day_words(found.day)}), "
        f"{found.stage_durations.temperature_c:g} C",
        "",
        f"ADVICE: {str(found.decided.advice).upper()}",
    ]
    lines += [f"  {reason}" for reason in found.decided.reasons]
    lines += ["", *_date_lines(found)]
    if found.zero:
        lines.append(found.zero)
    lines += ["", *_odds_lines(found), *_posterior_lines(found), *_fit_lines(found)]
    if found.rescheduled is not None:
        lines += ["", "NEW DATES", *(f"  {words}" for words in found.rescheduled.words)]
    lines += [
        "",
        f"Next look: {day_words(found.next_check)}.",
        DO_NOT,
        f"{NOT_VALIDATED} Seed {found.seed}. You decide; a licensed veterinarian and local law "
        "come first.",
    ]
    return "\n".join(lines)


def _date_lines(found: FollowUp) -> list[str]:
    day = found.not_before.day
    head = "" if day is None else f"NOT BEFORE {day_words(day_of(found, day))}. "
    return [head + found.not_before.words]


def _odds_lines(found: FollowUp) -> list[str]:
    if found.clear_now is None or found.returns_if_stopped is None:
        return ["No count yet: nothing can be said of what is left."]
    now = found.clear_now
    lines = [
        f"Clear now: {now.words} such tanks, not clear {opposite(now).words}.",
        f"Stop today: comes back in {found.returns_if_stopped.words}, "
        f"not in {opposite(found.returns_if_stopped).words}.",
    ]
    if (
        found.returns_going_on is not None
        and found.course_as_done is not None
        and found.course_as_done.ahead
    ):
        lines.append(
            f"Go on to the end of the course: comes back in {found.returns_going_on.words}, "
            f"not in {opposite(found.returns_going_on).words}."
        )
    lines.append(
        f"From {found.played} runs, worth {found.effective:.0f} after weighing by the counts, "
        f"taken at {found.trust:.0%} of their word."
    )
    return lines


def _posterior_lines(found: FollowUp) -> list[str]:
    if found.posterior is None:
        return []
    rows = (
        ("on the fish", found.posterior.on_fish),
        ("on the bottom", found.posterior.on_bottom),
        ("in the water", found.posterior.in_water),
    )
    return ["Believed to be there now (18 of 20 runs):"] + [
        f"  {name}: {_range(row)}" for name, row in rows
    ]


def _range(row: PosteriorRange) -> str:
    return f"{row.low:.0f} to {row.high:.0f}, middle {row.middle:.0f}"


def _fit_lines(found: FollowUp) -> list[str]:
    if not found.examine:
        return ["The counts fit the course." if found.predicted else ""]
    lines = ["", "DOES NOT FIT"]
    if not found.explained:
        lines.append("  Hardly any run explains these counts together.")
    lines += [
        f"  day {one.sighting.hour // HOURS_PER_DAY}, {sighting_words(one.sighting)}: "
        f"seen {one.seen:g}, expected {one.low:g} to {one.high:g}"
        for one in found.unexpected
    ]
    lines.append("  Examine, in this order:")
    for number, one in enumerate(found.examine, 1):
        pointed = f" ({' '.join(one.pointers)})" if one.pointers else ""
        lines.append(f"  {number}. {one.reason}{pointed} {one.test}")
    return lines
