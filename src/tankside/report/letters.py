"""Letters about a case: the all-clear for the keeper, the laboratory's sheet, the quarantine."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims.care import CareSection
from tankside.intake.quarantine_clock import QuarantineOfWater
from tankside.present.blocks import Block, Document, Words
from tankside.quantity.dates import day_words, entry_moment_words
from tankside.report.care_words import cause_words, deaths_words, duty_words
from tankside.report.case_text import entry_text
from tankside.report.case_words import temperature_words, water_type_words
from tankside.report.seen import finding_block
from tankside.services.letters import ALL_CLEAR, LABORATORY, LetterAnswer

NOT_YET = "Not an all-clear yet"
NEXT_TIME = (
    "Disinfectant for nets and an empty tank, with its amount and cautions: tankside dose --route "
    "equipment; never with animals in it."
)
NOT_ACCOUNTED = "What is in the water cannot be worked out until volume and fish are entered."
SAMPLES = (
    "Sample, taken of which fish: ____  alive / dead since ____ h",
    "Fresh, cooled or fixed, and in what: ____",
    "Before or after the first drug: ____",
)
QUESTIONS = (
    "Which cause do these samples show, and which do they exclude?",
    "Does anything here have to be reported, and who reports it?",
    "What may be given to these animals, and what forbids it?",
    "When may the water be called clear, and may survivors leave it?",
)


def letter_document(answer: LetterAnswer) -> Document:
    """Return a letter about a case."""
    view = answer.care.view
    if answer.kind == ALL_CLEAR:
        title = "All-clear" if answer.is_over else NOT_YET
        return Document(f"{title}: {view.name}", tuple(_all_clear(answer)))
    if answer.kind == LABORATORY:
        return Document(f"For the laboratory: {view.name}", tuple(_laboratory(answer)))
    return Document(f"Quarantine: {view.name}", tuple(_quarantine(answer)))


def _all_clear(answer: LetterAnswer) -> Iterator[Block]:
    care = answer.care
    yield Words("What it was", tuple(cause_words(c) for c in care.cares))
    if not answer.is_over:
        reasons = [f"{c.cause.name}: {reason}" for c in care.cares for reason in c.judged.reasons]
        look = f"Look again on {day_words(care.look_again)}: tankside follow CASE."
        yield Words(NOT_YET, (*dict.fromkeys(reasons), look), "GAP")
    yield Words("What was done", tuple(_done(answer)))
    yield Words("Deaths", tuple(deaths_words(care.deaths)) or ("No fish are entered.",))
    sections = (
        ("What to watch", (CareSection.IF_NOT, CareSection.SECOND_CAUSE)),
        ("Next time", (CareSection.PREVENTION,)),
        ("Moving and selling", (CareSection.MOVING,)),
        ("Cleaning", (CareSection.DISINFECTION,)),
    )
    for title, names in sections:
        lines = tuple(dict.fromkeys(s.spoken for c in care.cares for s in c.of_cause(*names)))
        yield Words(title, (*lines, *((NEXT_TIME,) if title == "Cleaning" else ())))
    yield from _quarantine(answer)


def _laboratory(answer: LetterAnswer) -> Iterator[Block]:
    care, view = answer.care, answer.care.view
    opened = view.opened
    place = (
        f"{view.name}, keeper {opened.keeper}; opened {day_words(opened.moment.day)}.",
        f"{water_type_words(view)}, {temperature_words(view)}; country {care.country or '____'}.",
        *(_group(group.id, answer) for group in view.stock.values()),
    )
    yield Words("Whose, and where", place)
    yield Words("What is thought of", tuple(cause_words(c) for c in care.cares))
    history = tuple(f"{entry_moment_words(e.moment)}: {e.what}" for e in view.events)
    call = (opened.call,) if opened.call else ()
    yield Words("History", (*call, *history) or ("Nothing was written down of the time before.",))
    yield from finding_block(view)
    slides = tuple(
        f"{entry_moment_words(s.moment)}: {entry_text(s)}; "
        f"{'alive' if s.alive == 'yes' else 'dead since ' + _dead(s.time_dead)}"
        for s in view.wet_mounts
    )
    yield Words("Slides looked at", slides or ("None.",))
    tests = tuple(f"{entry_moment_words(t.moment)}: {entry_text(t)}" for t in view.water_tests)
    yield Words("Water", tests or ("Not tested.",))
    yield Words("Deaths", tuple(deaths_words(care.deaths)) or ("No fish are entered.",))
    yield Words("What was given, by the account", (*_done(answer), *_in_water(answer)))
    wanted = dict.fromkeys(s.spoken for c in care.cares for s in c.of_cause(CareSection.LABORATORY))
    yield Words("What to send", tuple(wanted))
    yield Words("Samples sent", SAMPLES)
    yield Words("Questions", QUESTIONS)
    duties = dict.fromkeys(line for c in care.cares for line in duty_words(care, c))
    yield Words("Who must be told", tuple(duties))


def _quarantine(answer: LetterAnswer) -> Iterator[Block]:
    for water in answer.quarantines:
        yield Words(f"Quarantine of {' and '.join(water.waters)}", tuple(_quarantine_lines(water)))
    if not answer.quarantines:
        yield Words("Quarantine", ("No fish are entered: add them with case add CASE stock.",))


def _quarantine_lines(water: QuarantineOfWater) -> Iterator[str]:
    """Yield clock and end, what decides the end, each look, and what none of n excludes."""
    yield (
        f"The clock started on {day_words(water.began)}, when {water.why}; it starts anew for "
        "all that share this water when an animal arrives or something is seen."
    )
    yield (
        f"Apart until {day_words(water.ends)} at the earliest, {day_words(water.long_end)} at "
        f"the long end. {_what_decides(water)}"
    )
    for day in water.looks:
        looks = "; ".join(water.look_for(day))
        yield f"{day_words(day)}, look at every fish you can catch for: {looks}."
    without = [p.name for p in water.awaited if p.cycle_d is None and not p.too_slow]
    slow = [p.name for p in water.awaited if p.too_slow]
    if without and water.temperature_c is not None:
        yield f"Without days on file, looked for on every day: {', '.join(without)}."
    if slow:
        yield (
            f"Too slow at {water.temperature_c:g} C for any quarantine: {', '.join(slow)}. No day "
            "excludes them here: keep the fish warmer, if they bear it, or have gills examined."
        )
    yield from water.excludes
    yield (
        "That holds where a look finds every carrier it meets; one that misses some excludes less."
    )


def _what_decides(water: QuarantineOfWater) -> str:
    """Return whether print or a parasite decides the length, at which temperature."""
    printed = f"{water.time.conditions.get('temperature_c', '')} C: {water.time.note}"
    slowest = water.slowest
    if slowest is None:
        return (
            f"No temperature was read, so the days are those in print for {printed}. Cool water "
            "needs longer: write it down with case add CASE water temperature=..."
        )
    cycle = f"{slowest.cycle_d} days of a slow cycle of {slowest.name} at {water.temperature_c:g} C"
    if slowest.cycle_d == (water.ends - water.began).days:
        return f"The {cycle} decide, longer than print has it ({printed})."
    return f"Print decides ({printed}); it outlasts the {cycle}, the longest with days on file."


def _done(answer: LetterAnswer) -> Iterator[str]:
    view = answer.care.view
    for course in view.courses:
        yield f"{entry_moment_words(course.moment)}: course chosen, {course.name}."
    for entry in view.actions_done:
        yield f"{entry_moment_words(entry.moment)}: {entry_text(entry)}."
    if not (view.courses or view.actions_done):
        yield "Nothing was entered as done."


def _in_water(answer: LetterAnswer) -> Iterator[str]:
    if answer.in_water is None:
        yield NOT_ACCOUNTED
        return
    for lot in answer.in_water:
        high = "an amount nobody knows" if lot.high_mg_l is None else f"up to {lot.high_mg_l:.3g}"
        yield f"In the water now: {lot.agent.replace('_', ' ')}, {high} mg/L."
    if not answer.in_water:
        yield "In the water now: nothing, by the account."


def _group(name: str, answer: LetterAnswer) -> str:
    group = answer.care.view.stock[name]
    arrived = group.description.arrived
    came = "" if arrived is None else f", arrived {arrived[:10]}"
    count = "number not known" if group.alive is None else f"{group.alive} alive"
    return f"{group.description.name}: {count}, {group.deaths} died{came}."


def _dead(time: object) -> str:
    return "____ h" if time is None else str(getattr(time, "text", time))
