"""The care of a case as one document: what to do in order, what never, whom to tell, the end."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims.care import CareSection, CareStatement
from tankside.present.blocks import Block, Document, Words
from tankside.quantity.dates import day_words
from tankside.report.care_words import (
    HOW_TO_CHOOSE,
    NO_AMOUNT,
    ahead_words,
    cause_words,
    deaths_words,
    duty_words,
    filter_words,
    judged_words,
    lead_words,
    look_words,
    not_simulated_words,
    offer_words,
    step_words,
    treated_words,
)
from tankside.report.published_dates import dates_document
from tankside.services.care_case import CareAnswer, CareOfCause
from tankside.services.water_ahead import water_ahead

PLAN, FOLLOW, FORECAST, TODAY = "plan", "follow", "forecast", "today"
FIRST, JUDGED = "First", "Follow-up of"
"""What the titles begin with of what is done first, and of the judgement of a cause."""
TITLES = {
    PLAN: "Plan of care",
    FOLLOW: "Follow-up by the plan of care",
    FORECAST: "What to expect",
    TODAY: "DAY CARD of care",
}
DONE = (
    ("Within the hour", (CareSection.NOW, CareSection.FIRST_HOUR)),
    ("Today", (CareSection.TODAY,)),
    ("This week", (CareSection.THIS_WEEK,)),
)
AFTER = (
    ("Ask", CareSection.ASK),
    ("Laboratory", CareSection.LABORATORY),
    ("If it works", CareSection.IF_IT_WORKS),
    ("If it does not", CareSection.IF_NOT),
    ("When to end suffering", CareSection.SUFFERING),
    ("Afterwards", CareSection.PREVENTION),
    ("Moving and selling", CareSection.MOVING),
    ("Cleaning", CareSection.DISINFECTION),
    ("People", CareSection.PEOPLE),
)
LABORATORY = 2
"""How many of those stand on a card as well: what to ask and what to send."""
EXPECTED = (CareSection.IF_IT_WORKS, CareSection.IF_NOT)


def care_document(answer: CareAnswer, door: str) -> Document:
    """Return the care of a case.

    Args:
        answer: what is done for the causes of the case.
        door: the command that was asked: ``plan``, ``follow``, ``forecast`` or ``today``.
    """
    said: set[str] = set()
    blocks: list[Block] = [
        *head_blocks(answer),
        *_water(answer),
    ]
    if door == TODAY:
        blocks += _steps(answer)
    if door == FOLLOW:
        blocks += _judged(answer)
    if door == FORECAST:
        blocks += _expected(answer, said)
    if door in (FOLLOW, FORECAST):
        blocks += _in_print(answer)
    for care in answer.cares:
        blocks += _of_cause(answer, care, said, door)
    blocks += _ends(answer, door)
    return Document(f"{TITLES[door]}: {answer.view.name}, {day_words(answer.day)}", tuple(blocks))


def head_blocks(answer: CareAnswer) -> tuple[Words, ...]:
    """Return what stands on top of every plan: the next hour, today, what is treated."""
    return (
        Words(FIRST, lead_words(answer)),
        Words("What is treated, and how sure", tuple(treated_words(answer))),
    )


def _water(answer: CareAnswer) -> Iterator[Block]:
    if answer.remarks:
        yield Words("", answer.remarks, "CARE")


def _steps(answer: CareAnswer) -> Iterator[Block]:
    """Yield the steps of this day of a chosen course of care, and when the next ones are due."""
    if not answer.steps or answer.view.course is None:
        return
    lines = [step_words(step) for step in answer.steps if step.day == answer.day]
    later = sorted({step.day for step in answer.steps if step.day > answer.day})
    lines += [f"Next steps on {day_words(later[0])}."] if later else ["No step is left."]
    lines.append("Say what became of a step: case add CASE done step=NAME, or not-done step=NAME.")
    yield Words(f"Steps of {answer.view.course.name}", tuple(lines))


def _judged(answer: CareAnswer) -> Iterator[Block]:
    for care in answer.cares:
        if care.protocol.causes or care is answer.first:
            lines = tuple(judged_words(care, answer))
            yield Words(f"{JUDGED} {care.cause.name}", lines)
    yield Words("Deaths seen", tuple(deaths_words(answer.deaths)) or ("No fish are entered.",))


def _in_print(answer: CareAnswer) -> Iterator[Block]:
    """Yield the times in print for the parasite of the case, with their days."""
    if answer.in_print is not None:
        document = dates_document(answer.in_print)
        yield Words("", (document.title,))
        yield from document.blocks


def _expected(answer: CareAnswer, said: set[str]) -> Iterator[Block]:
    for care in answer.cares:
        lines = _fresh(care.of_cause(*EXPECTED), said)
        if lines:
            yield Words(f"What to expect with {care.cause.name}", lines)


def _of_cause(answer: CareAnswer, care: CareOfCause, said: set[str], door: str) -> Iterator[Block]:
    """Yield the parts of one protocol; what holds whatever the cause stands once."""
    if len(answer.cares) > 1:
        yield Words("", (cause_words(care),))
    for title, sections in DONE:
        yield from _part(title, care.of_cause(*sections), said)
    yield from _part("Must not", care.of_cause(CareSection.MUST_NOT), said, "NEVER")
    yield Words("Who must be told", tuple(dict.fromkeys(duty_words(answer, care))))
    yield Words("When to look again, and when it may be called over", tuple(look_words(care)))
    for title, section in AFTER[:LABORATORY] if door == TODAY else AFTER:
        yield from _part(title, care.of_cause(section), said)


def _part(
    title: str,
    statements: tuple[CareStatement, ...],
    said: set[str],
    strong: str = "",
) -> Iterator[Words]:
    lines = _fresh(statements, said)
    if lines:
        yield Words(title, lines, strong)


def _fresh(
    statements: tuple[CareStatement, ...],
    said: set[str],
) -> tuple[str, ...]:
    """Return what was not said yet, and remember that it is said now."""
    new = [s for s in statements if s.claim.key not in said]
    said |= {statement.claim.key for statement in new}
    return tuple(statement.spoken for statement in new)


def _ends(answer: CareAnswer, door: str) -> Iterator[Block]:
    if door == PLAN and answer.offers:
        lines = (*offer_words(answer), HOW_TO_CHOOSE)
        yield Words("Courses of care, none of them simulated", lines)
    ahead = water_ahead(answer) if door != FOLLOW else None
    if ahead is not None:
        lines = (*ahead_words(ahead), *filter_words(ahead))
        yield Words("The water ahead, worked out hour by hour", lines)
    yield Words("Not simulated", not_simulated_words(answer), "GAP")
    if door in (PLAN, TODAY):
        yield Words("", (NO_AMOUNT,))
    next_look = f"Look again on {day_words(answer.look_again)}: tankside follow CASE."
    yield Words("Next", (next_look,))
