"""The follow-up as one document: what a terminal prints, a page embeds and paper carries."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from tankside import sampling
from tankside.follow import Fit, NotBefore, PosteriorRange, Predicted
from tankside.lifecycle import OfTwenty, Sighting, opposite
from tankside.present.blocks import Block, Document, Runs, Words
from tankside.quantity.dates import day_words
from tankside.quantity.per import HOURS_PER_DAY
from tankside.report.validation_words import NOT_VALIDATED
from tankside.services.follow_answer import Belief, FollowAnswer, LatestCleanLook

DO_NOT = "DO NOT stop because the spots are gone."
YOU_DECIDE = "You decide; a licensed veterinarian and local law come first."
NO_COUNT = "No count yet: nothing can be said of what is left."
FITS = "The counts fit the course."
LOOSELY = "Taken at part of their word only, the counts do not speak against the course."
NOT_COUNTED = (
    "Fish were looked at, but nothing was counted that runs can be held against: what is left is "
    "not worked out."
)
NOT_LOOKED_SINCE = (
    "Parasites were seen at the latest look and nobody has looked since, so no chance of being "
    "clear is told."
)
UNEXPLAINED = "Hardly any run explains these counts together."
LEFT = "What is left"
HELD = "The counts against the course"
COUNTED = {"deaths": "dead", "scrape": "on a slide", "spots": "spots"}
OF_FISH = {
    "worst": "worst fish",
    "mean": "mean of the group",
    "each": "one fish",
    "carrying": "fish carrying any",
}


def follow_document(answer: FollowAnswer) -> Document:
    """Return the follow-up for a person."""
    view, decided = answer.case.view, answer.decided
    blocks: list[Block] = [
        Words(str(decided.advice).upper(), decided.reasons, "ADVICE"),
        *([Words("from the readings", answer.water, "WATER")] if answer.water else []),
        wait_block(answer.not_before, view.opened.moment.day),
        *(Words("The tank without fish", (tank.words,)) for tank in answer.fishless),
    ]
    kinds = tuple(w for key, w in answer.case.questions.items() if key.startswith("kind."))
    if kinds:
        blocks.append(Words("Kinds that are not on file", kinds))
    clean = clean_look_words(answer.clean_look)
    if clean:
        blocks.append(Words("What a clean look can show", (clean,)))
    blocks += [*_left(answer), *_fit(answer)]
    blocks += [Words("Days at strength", (stand.words,)) for stand in answer.at_strength]
    if answer.rescheduled is not None:
        blocks.append(Words("NEW DATES", answer.rescheduled.words))
    note = f"{NOT_VALIDATED} Seed {answer.seed}. {YOU_DECIDE}"
    look = f"Next look: {day_words(answer.next_check)}. Count {answer.look}."
    blocks.append(Words("", (look, note)))
    title = (
        f"Follow-up: {view.name}, day {answer.day_number} ({day_words(answer.day)}), "
        f"{answer.stage_durations.temperature_c:g} C"
    )
    return Document(title, tuple(blocks))


def wait_block(earliest: NotBefore, opened: date) -> Words:
    """Return the date to wait for, what it is made of, and the warning that goes with it.

    Args:
        earliest: the earliest day on which a stop may be discussed.
        opened: the first day of the case.
    """
    day = earliest_date(earliest, opened)
    head = "" if day is None else f"NOT BEFORE {day_words(day)}. "
    return Words("The date to wait for", (head + earliest.words, DO_NOT))


def earliest_date(earliest: NotBefore, opened: date) -> date | None:
    """Return the calendar day of the earliest stop; None when there is no date.

    Args:
        earliest: the earliest day on which a stop may be discussed.
        opened: the first day of the case.
    """
    return None if earliest.day is None else opened + timedelta(days=earliest.day)


def first_day(answer: FollowAnswer) -> int:
    """Return the day of the case on which hour 0 of its sightings lies."""
    return (answer.case.zero.day - answer.case.view.opened.moment.day).days


def clean_look_words(look: LatestCleanLook | None) -> str:
    """Say what the latest clean look cannot exclude; "" when there was none."""
    if look is None:
        return ""
    return sampling.in_words(0, look.examined, population=look.population)


def sighting_words(sighting: Sighting) -> str:
    """Say which count it is: "spots, worst fish, loach"."""
    what = COUNTED[sighting.how]
    if sighting.how == "deaths":
        return f"{what}, {sighting.group}"
    return f"{what}, {OF_FISH[sighting.kind]}, {sighting.group}"


def _left(answer: FollowAnswer) -> Iterable[Block]:
    """Return what is left: chances of 20 tanks, then what is believed to be there now."""
    belief = answer.belief
    if not answer.looked:
        return [Words(LEFT, (NO_COUNT,))]
    if belief.clear_now is None or belief.returns_if_stopped is None:
        return [Words(LEFT, (NOT_COUNTED,))]
    if not answer.decided.odds_said:
        return [Words(LEFT, (NOT_LOOKED_SINCE,)), *_believed(belief)]
    now = belief.clear_now
    rows = [
        ("Clear now", now.number, f"{now.words} such tanks, not clear {opposite(now).words}."),
        _comes_back("Stop today", belief.returns_if_stopped),
    ]
    if belief.returns_going_on is not None and answer.steps_ahead:
        rows.append(_comes_back("Go on to the end of the course", belief.returns_going_on))
    note = (
        f"From {belief.played} runs, worth {belief.effective:.0f} after weighing by the counts, "
        f"taken at {belief.trust:.0%} of their word."
    )
    return [Runs(LEFT, tuple(rows), note), *_believed(belief)]


def _comes_back(course: str, returns: OfTwenty) -> tuple[str, int, str]:
    words = f"comes back in {returns.words}, not in {opposite(returns).words}."
    return course, returns.number, words


def _believed(belief: Belief) -> Iterable[Words]:
    if belief.posterior is None:
        return
    rows = (
        ("on the fish", belief.posterior.on_fish),
        ("on the bottom", belief.posterior.on_bottom),
        ("in the water", belief.posterior.in_water),
    )
    lines = tuple(f"{name}: {_range(row)}" for name, row in rows)
    yield Words("Believed to be there now (18 of 20 runs)", lines)


def _range(row: PosteriorRange) -> str:
    return f"{row.low:.0f} to {row.high:.0f}, middle {row.middle:.0f}"


def _fit(answer: FollowAnswer) -> Iterable[Words]:
    """Return whether the counts fit the course, and what to examine when they do not."""
    fit = answer.decided.fit
    if fit is Fit.OUTSIDE:
        first = first_day(answer)
        unexplained = () if answer.belief.explained else (UNEXPLAINED,)
        outside = (_unexpected(predicted, first) for predicted in answer.unexpected)
        yield Words(HELD, (*unexplained, *outside), "DOES NOT FIT")
    elif fit is not Fit.NOT_JUDGED and answer.looked:
        yield Words(HELD, (FITS if fit is Fit.FITS else LOOSELY,))
    if not answer.examine:
        return
    lines = []
    for number, row in enumerate(answer.examine, 1):
        pointed = f" ({' '.join(row.pointers)})" if row.pointers else ""
        lines.append(f"{number}. {row.reason}{pointed}: {row.test}")
    yield Words("Examine, in this order", tuple(lines))


def _unexpected(predicted: Predicted, first: int) -> str:
    """Say a count outside, on its day of the case; ``first`` is the day of hour 0."""
    sighting = predicted.sighting
    return (
        f"day {first + sighting.hour // HOURS_PER_DAY}, {sighting_words(sighting)}: "
        f"seen {predicted.seen:g}, expected {predicted.low:g} to {predicted.high:g}"
    )
