"""The care of a cause in sentences: who decides, how sure, when to look, how many died."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil

from tankside.follow.by_protocol import CareAdvice
from tankside.intake.care_seen import WaterDeaths, day_after
from tankside.quantity.dates import clock_words, day_words
from tankside.quantity.per import PERCENT
from tankside.services.care_case import TWO_CAUSES, CareAnswer, CareOfCause
from tankside.services.care_choice import care_names
from tankside.services.care_steps import StepOfCare
from tankside.services.water_ahead import AheadRow, NewFilter, WaterAhead, days_words
from tankside.water.nitrogen import nitrification_alkalinity_g

NO_END = "No end can be named, because no source prints days for it."
NO_DUTY = (
    "What must be told in {country} is not on file: not known does not mean that nothing must be "
    "reported. Ask the veterinary office."
)
NO_COUNTRY = "The country of the tank was not told, so the duties of several stand here."
NO_AMOUNT = (
    "No amount of a drug stands here. Amounts come from dose, for this water and these animals; "
    "labels, local law and a licensed veterinarian come first."
)
HOW_TO_CHOOSE = (
    "To follow one, with its card, calendar and account: tankside plan CASE --choose NAME. What "
    "acts on the cause is not simulated; amounts stand only where a label was entered."
)
ASKS = (
    "Needed: volume, fish with length or weight, ammonia and nitrite read, temperature, and "
    "whether the filter is ripe."
)
LEAST_TOLD = 0.01
FILTER_ASKS = (
    "How it grows is worked out for fresh water once temperature, pH, ammonia and nitrite are "
    "read; the hours above take it as it is."
)
NO_LIFE_CYCLE = (
    "Nothing here is simulated: no life cycle with figures stands behind this cause. The days are "
    "printed or estimated, as marked."
)
WITHHELD = (
    "No course against a parasite is compared beside this cause unasked. Where a parasite is to be "
    "met all the same, and whoever decides agrees, name it: tankside plan CASE --organism NAME."
)


def lead_words(answer: CareAnswer) -> tuple[str, str]:
    """Return the sentence for the next hour and that for today."""
    return (
        f"Next hour: {answer.next_hour.spoken}",
        f"Today: {answer.today.spoken}",
    )


def not_simulated_words(answer: CareAnswer) -> tuple[str, ...]:
    """Say that nothing is simulated, and what would change that, if anything does."""
    if answer.refused is not None and answer.is_simulable:
        return (answer.refused.message, f"Next: {answer.refused.next_step}")
    if answer.is_simulable:
        return (WITHHELD,)
    return (NO_LIFE_CYCLE,)


def cause_words(care: CareOfCause) -> str:
    """Return the cause and how sure it is."""
    return f"{care.cause.name}: {care.cause.certainty} ({care.cause.why})."


def treated_words(answer: CareAnswer) -> Iterator[str]:
    """Yield what is treated, how sure that is, and the second cause that the same step meets."""
    first, *others = [care for care in answer.cares if care.cause.cause != TWO_CAUSES]
    yield f"Treated first: {cause_words(first)}"
    if answer.water_first and others:
        yield (
            "A measured fault of the water is put right before any parasite is treated; the same "
            f"step helps against {others[0].cause.name}."
        )
    yield from (f"Also cared for: {cause_words(care)}" for care in others)
    if not others:
        yield from (
            f"A second cause to think of: {statement.words}"
            for statement in first.protocol.statements
            if statement.section == "second_cause" and not first.is_general(statement)
        )


def look_words(care: CareOfCause) -> Iterator[str]:
    """Yield when to look, at how many, and when it may be called over."""
    for rule in care.stop_rules:
        animals = "" if rule.animals in ("", "not printed") else f" Look at: {rule.animals}."
        yield f"{rule.spoken}{animals}"
    if care.look_on:
        days = ", ".join(day_words(day) for day in dict.fromkeys(care.look_on))
        yield f"By the days of that rule, from {day_words(care.began)}: {days}."
    else:
        yield NO_END
    yield from (
        f"Whatever the cause: {rule.spoken}"
        for rule in care.protocol.statements
        if rule.section == "stop_rule" and care.is_general(rule) and rule.days
    )


def judged_words(care: CareOfCause, answer: CareAnswer) -> Iterator[str]:
    """Yield the advice of the follow-up, its reasons, and the day to look next."""
    judged = care.judged
    yield f"{judged.advice.value.upper()}."
    yield from judged.reasons
    if judged.advice is CareAdvice.LOOK_AGAIN:
        yield "Examine skin and gill of a living fish anew, and test the water, before a new dose."
    if judged.advice is CareAdvice.CALL:
        yield "Have at hand: history, readings, what was put in, a fish that is ill or just dead."
    yield f"Look again on {day_words(answer.look_again)}."


def deaths_words(rows: Iterable[WaterDeaths]) -> Iterator[str]:
    """Yield the deaths of each body of water with their exact bound."""
    for row in rows:
        where = f"In {row.water}" if row.water else "Where nobody said in which water"
        if row.stock is None:
            yield f"{where}: {row.dead} died, of a number nobody wrote down; no share can be said."
        elif row.high is None:
            yield f"{where}: {row.dead} died, more than were written down ({row.stock})."
        elif not row.dead:
            yield (
                f"{where}: none of {row.stock} died. That does not exclude losses of up to "
                f"{_percent(row.high)} among fish like these (one-sided 95 %, exact)."
            )
        else:
            yield (
                f"{where}: {row.dead} of {row.stock} died, which fits losses from "
                f"{_percent(row.low)} to {_percent(row.high)} among fish like these (95 %, exact)."
            )


def offer_words(answer: CareAnswer) -> Iterator[str]:
    """Yield the courses of care that can be chosen, each with its name and its days."""
    for name, offer in zip(care_names(answer), answer.offers, strict=True):
        last = day_after(answer.day, offer.course.days - 1)
        yield (
            f"{name}: {offer.course.name}, {len(offer.course.actions)} steps, the last on "
            f"{day_words(last)}."
        )


def step_words(step: StepOfCare) -> str:
    """Return a step of a chosen course of care: its name, its hour, what it asks, if it is done."""
    asks = step.words or f"Measure {', '.join(step.reads)} and write it down."
    mark = "[x]" if step.is_answered else "[ ]"
    return f"{mark} {clock_words(step.at)} {step.name}: {asks}"


def ahead_words(ahead: WaterAhead) -> Iterator[str]:
    """Yield what the water holds hour by hour, and from when it is safe."""
    lone = "" if ahead.new_filter is None else ", and nothing more changed"
    yield f"Under {ahead.course}, with the filter, food and fish as entered{lone}:"
    yield from (_row_words(row) for row in ahead.rows)


def ahead_lead_words(ahead: WaterAhead) -> str:
    """Return from when the water is safe, in one sentence for the top of a card."""
    rows, way = ahead.rows, "with the change of today"
    if ahead.new_filter is not None:
        share = f"{round(ahead.new_filter.share * PERCENT)} %"
        rows, way = (*ahead.new_filter.changed, *rows[-1:]), f"with {share} changed today and daily"
    said = [f"{row.safe.what} {_until_words(row)}" for row in rows if row.is_known]
    asks = f" Not known: {', '.join(ahead.asks)}; {ASKS[0].lower()}{ASKS[1:]}" if ahead.asks else ""
    return f"Water ahead, {way}: {'; '.join(said) or 'not known'}.{asks}"


def _row_words(row: AheadRow) -> str:
    safe = row.safe
    if not row.is_known:
        return f"{safe.what}: not known. {ASKS}"
    steps = (
        f"{days_words(hour)}: {_between(low, high)}"
        for hour, low, high in zip(row.at, row.low, row.high, strict=True)
    )
    return f"{safe.what} {_until_words(row)}. Ahead, in {safe.unit}: {'; '.join(steps)}."


def _until_words(row: AheadRow) -> str:
    """Return from when it is safe: the likely course, with the soonest and the latest beside it."""
    side = "at most" if row.safe.below else "at least"
    level = f"safe ({side} {row.safe.limit:g} {row.safe.unit})"
    if row.safe_h is not None and row.safe_h == row.soonest_h:
        return f"stays {level} from {days_words(row.safe_h)} on"
    latest = f"not within {days_words(row.at[-1])}"
    if row.safe_h is not None:
        latest = days_words(row.safe_h)
    if row.soonest_h is None or row.likely_h is None:
        soonest = "" if row.soonest_h is None else f" (soonest {days_words(row.soonest_h)})"
        return f"is not surely {level} within {days_words(row.at[-1])}{soonest}"
    if row.likely_h == 0 and row.peak is not None:
        return f"likely stays {level}, at worst it goes to {row.peak[1]:.2g} (safe again: {latest})"
    return (
        f"stays {level} after about {days_words(row.likely_h)} (soonest {days_words(row.soonest_h)}"
        f", latest {latest}: plan for the latest)"
    )


def _between(low: float, high: float) -> str:
    """Return a range; what no test reads is told as under the smallest that is printed."""
    ends = dict.fromkeys(
        f"{v:.2g}" if v >= LEAST_TOLD else f"under {LEAST_TOLD}" for v in (low, high)
    )
    return " to ".join(ends)


def filter_words(ahead: WaterAhead) -> Iterator[str]:
    """Yield what a new filter does, how far that may be trusted, and how long print says."""
    if ahead.new_filter is not None:
        yield from _new_filter_words(ahead.new_filter)
    ways = ("without media from a running filter", "with media from a running filter")
    for way, (low, high) in zip(ways, ahead.filter_weeks, strict=False):
        yield f"A filter that is not ripe: in print {low:g} to {high:g} weeks {way}."
    if ahead.filter_weeks and ahead.new_filter is None:
        yield FILTER_ASKS


def _new_filter_words(new: NewFilter) -> Iterator[str]:
    share = f"{round(new.share * PERCENT)} %"
    for row in new.changed:
        if row.peak is not None:
            level = f"{_between(*row.peak)} {row.safe.unit}"
            yield (
                f"With {share} of the water changed every day from tomorrow on, {row.safe.what} "
                f"peaks at {level}; it {_until_words(row)}."
            )
    met, readings, left_out = new.met
    yield (
        "How a new filter grows is worked out with printed rates, and counted from today as if it "
        "held hardly any bacteria: one that has run for days is sooner. Held against keepers' "
        f"diaries of tanks without fish, {met} of {readings} readings lay within their tolerance "
        f"({left_out} of {readings} in diaries it had not seen). Go by your own tests every day."
    )
    if not new.alkalinity_is_read:
        used = float(nitrification_alkalinity_g(1.0))
        yield (
            f"Alkalinity was not read: each mg/L of ammonia as N uses up {used:.2g} mg/L of it, "
            "and a filter stops when none is left. Measure it: case add CASE water alkalinity=..."
        )


def duty_words(answer: CareAnswer, care: CareOfCause) -> Iterator[str]:
    """Yield who must be told, by the country of the tank, with the date of each rule."""
    if not answer.country:
        yield NO_COUNTRY
    duties = answer.duties(care)
    for duty in duties:
        dated = "the date of the rule is not printed"
        if duty.as_of != "not printed":
            dated = f"as of {duty.as_of}"
        yield f"{duty.spoken} ({dated})"
    if answer.country and not any(duty.country == answer.country for duty in duties):
        yield NO_DUTY.format(country=answer.country)


def _percent(share: float) -> str:
    return f"{max(round(share * PERCENT), ceil(share))} %"
