"""The care of a cause in sentences: who decides, how sure, when to look, how many died."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil

from tankside.follow.by_protocol import CareAdvice
from tankside.intake.care_seen import WaterDeaths, day_after
from tankside.quantity.dates import day_words
from tankside.quantity.per import PERCENT
from tankside.services.care_case import TWO_CAUSES, CareAnswer, CareOfCause
from tankside.services.care_choice import care_names
from tankside.services.water_ahead import WaterAhead, days_words

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


def ahead_words(ahead: WaterAhead) -> Iterator[str]:
    """Yield what the water holds hour by hour, and from when it is safe."""
    yield f"Under {ahead.course}, with the filter, food and fish as entered:"
    for row in ahead.rows:
        safe = row.safe
        if not row.is_known:
            yield f"{safe.what}: not known. {ASKS}"
            continue
        steps = (
            f"{days_words(hour)}: {low:.2g} to {high:.2g}"
            for hour, low, high in zip(row.at, row.low, row.high, strict=True)
        )
        side = "at most" if safe.below else "at least"
        until = f"stays safe ({side} {safe.limit:g}) from {days_words(row.safe_h or 0)} on"
        if row.safe_h is None:
            until = f"not surely safe ({side} {safe.limit:g}) within the course"
        yield f"{safe.what} [{safe.unit}] after {'; '.join(steps)}; {until}."


def filter_words(ahead: WaterAhead) -> Iterator[str]:
    """Yield how long a filter takes in print until it works, without and with media."""
    ways = ("without media from a running filter", "with media from a running filter")
    for way, (low, high) in zip(ways, ahead.filter_weeks, strict=False):
        yield (
            f"A filter that is not ripe: in print {low:g} to {high:g} weeks {way}. How its "
            "bacteria grow is not worked out: the hours above take them as they are."
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
