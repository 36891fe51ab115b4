"""The differential as one document: what must not be missed, what fits and why, the next look."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tankside.diagnose import (
    NONE,
    OUTSIDE,
    AlsoSeen,
    Look,
    LooksAlike,
    Move,
    MustNotMiss,
    Speaks,
    first_rows,
)
from tankside.present.blocks import Block, Cause, Document, NextSitting, Words
from tankside.report.differential_words import (
    STEPS_OF_WORDS,
    cause_name,
    chance_words,
    finding_labels,
    first_step,
    spoken,
    word_step,
)
from tankside.report.seen import standing_lines
from tankside.services.differential import DifferentialAnswer
from tankside.services.differential_case import CaseDifferentialAnswer

LOOKS = 3
"""Looks told of; the whole list is in the machine-readable answer."""
AHEAD = 3
"""Findings told of that are not known yet, or would change a cause most."""
TITLE = "What fits"
NOT_CALIBRATED = "Words only: not tested on cases of other authors. "
CAUTION = (
    "This lists what fits; it is not a diagnosis. "
    "Drugs and listed diseases are matters for a licensed veterinarian and your local rules."
)
ORDER = "WHAT FITS, likeliest first"
TOGETHER = "Causes can be present together."
IDEA_FIRST = "The order with reasons: write down your own first idea, then look"


def differential_document(
    answer: DifferentialAnswer, *, own_idea: str = "", before_own_idea: bool = False
) -> Document:
    """Return the whole answer, the most urgent things first.

    Args:
        answer: what fits.
        own_idea: condition that the practitioner wrote down as first idea ("" when none).
        before_own_idea: whether the order is folded away, so that the own idea comes first.
    """
    facts = answer.facts
    lead = CAUTION if facts.calibrated else NOT_CALIBRATED + CAUTION
    blocks: list[Block] = [*_must_not_miss(answer)]
    ordered = (*cause_blocks(answer), two_causes_block(answer))
    if before_own_idea:
        blocks += [keep_in_mind_block(answer), _in_one(IDEA_FIRST, ordered)]
    else:
        if own_idea:
            idea = f"Your own first idea: {cause_name(facts, own_idea)}"
            blocks.append(Words("", (idea,)))
        blocks += [Words(ORDER, (TOGETHER,)), *ordered]
    blocks += [*_left_over(answer), *look_blocks(answer)]
    return Document(TITLE, tuple(blocks), lead)


def case_differential_document(
    answer: CaseDifferentialAnswer, *, before_own_idea: bool = False
) -> Document:
    """Return what fits a case, with what was looked at; "not looked" and "none" stay apart.

    Args:
        answer: what fits the case.
        before_own_idea: whether the order is folded away, so that the own idea comes first.
    """
    whole = differential_document(
        answer.differential, own_idea=answer.own_idea, before_own_idea=before_own_idea
    )
    lines = standing_lines(answer.looked)
    looked = (Words("What was looked at", lines, folded=True),) if lines else ()
    blocks = (
        *water_block(answer),
        *_water_first(answer),
        *whole.blocks,
        *_to_be_asked(answer),
        *looked,
    )
    return Document(f"{TITLE}: {answer.view.name}", blocks, whole.lead)


def water_block(answer: CaseDifferentialAnswer) -> tuple[Words, ...]:
    """Return which body of water is asked about, where the case has several."""
    water, systems = answer.water, answer.view.systems
    if len(systems) == len(water.systems):
        return ()
    asked = " with ".join(systems[name].name for name in water.systems if name in systems)
    why = "as asked" if water.chosen else "the water with the sick fish"
    lines = [f"{asked} (system {water.systems[0]}), {why}."]
    if water.left_out:
        lines.append(f"Left out, since it was seen in other water: {water.left_out} entries.")
    others = ", ".join(name for name in systems if name not in water.systems)
    lines.append(f"Ask about another with --system: {others}.")
    return (Words("Asked about", tuple(lines)),)


def _water_first(answer: CaseDifferentialAnswer) -> tuple[Words, ...]:
    return (Words("from the readings", answer.warnings, "WATER"),) if answer.warnings else ()


def _to_be_asked(answer: CaseDifferentialAnswer) -> tuple[Words, ...]:
    """Return what bears on the answer and was not said, and what is kept and not used."""
    unread = tuple(f"{name}: kept, and no answer reads it" for name in answer.not_in_list)
    lines = (*answer.asked, *unread)
    return (Words("TO BE ASKED, since it bears on this", lines),) if lines else ()


def keep_in_mind_block(answer: DifferentialAnswer) -> Words:
    """Return the unordered list that the call alone gives."""
    names = tuple(sorted(cause_name(answer.facts, name) for name in answer.early))
    return Words("Keep in mind, in no order", names)


def cause_blocks(answer: DifferentialAnswer) -> tuple[Cause, ...]:
    """Return the likeliest causes with reasons; not on the list and no disease at all always."""
    conditions = answer.facts.conditions.values()
    states = (c.id for c in conditions if not c.listed and not c.outside)
    listed = (*first_rows(answer.ranking), NONE, OUTSIDE, *states)
    shown = [name for name in answer.ranking.order() if name in listed]
    return tuple(_cause(answer, place, name) for place, name in enumerate(shown, 1))


def two_causes_block(answer: DifferentialAnswer) -> Words:
    """Return how likely two causes are together, and which two."""
    facts, ranking = answer.facts, answer.ranking
    every = len(ranking.chance)
    pairs = ((causes, c) for causes, c in ranking.sets(every) if len(causes) > 1)
    words = chance_words(facts, answer.two_causes)
    for causes, chance in pairs:
        names = " with ".join(cause_name(facts, name) for name in causes)
        words += f"; the likeliest two: {names} ({chance_words(facts, chance)})"
        break
    return Words("Two causes together", (words,))


def look_blocks(answer: DifferentialAnswer) -> tuple[Words, ...]:
    """Return the looks worth their minutes, or that looking is over."""
    if answer.looks.stop:
        return (Words("LOOK NEXT", ("Stop looking, act. No sitting left would change the step.",)),)
    head = Words("LOOK NEXT", ("The sittings that save most harm per minute come first.",))
    return (head, *(_look(answer, look) for look in answer.looks.looks[:LOOKS]))


def _must_not_miss(answer: DifferentialAnswer) -> Iterator[Words]:
    if answer.strip:
        lines = tuple(_alarm(answer, alarm) for alarm in answer.strip)
        yield Words("by harm, whatever its rank", lines, "MUST NOT MISS")


def _alarm(answer: DifferentialAnswer, alarm: MustNotMiss) -> str:
    facts = answer.facts
    name, words = cause_name(facts, alarm.condition), chance_words(facts, alarm.chance)
    line = f"{name} ({words}): {alarm.step}"
    if not alarm.also:
        return line
    return f"{line} The same step meets: {', '.join(cause_name(facts, c) for c in alarm.also)}."


def _cause(answer: DifferentialAnswer, place: int, name: str) -> Cause:
    facts, why = answer.facts, answer.reasons[name]
    low, high = (chance_words(facts, edge) for edge in answer.bands.edges[name])
    spread = "" if low == high else f"; the tables allow {low} to {high}"
    words = chance_words(facts, answer.ranking.of(name))
    step_words = first_step(facts, answer.ranking, name)
    step = (f"do first: {step_words}",) if step_words else ()
    unknown = finding_labels(facts, (s.finding for s in why.unknown[:AHEAD]))
    lines = (
        *_groups(answer, name),
        *step,
        f"for: {_spoken(answer, why.supports)}",
        f"against: {_spoken(answer, why.against)}",
        f"not known: {unknown or 'nothing that matters'}",
        f"would change it: {_spoken(answer, why.would_change[:AHEAD])}",
    )
    low_edge, high_edge = answer.bands.edges[name]
    chances = (low_edge, answer.ranking.of(name), high_edge)
    low_step, step_said, high_step = map(word_step, chances)
    return Cause(
        f"{place}. {cause_name(facts, name)}: {words}{spread}",
        lines,
        reach=(low_step, step_said, high_step),
        steps=STEPS_OF_WORDS,
    )


def _groups(answer: DifferentialAnswer, name: str) -> tuple[str, ...]:
    """Return which group of causes that are not listed it is likeliest to be."""
    if name != OUTSIDE:
        return ()
    group = max(answer.ranking.groups(), key=answer.ranking.of)
    return (f"most like: {answer.facts.conditions[group].name.partition(': ')[2]}",)


def _spoken(answer: DifferentialAnswer, speaks: Iterable[Speaks]) -> str:
    return "; ".join(spoken(answer.facts, s) for s in speaks) or "nothing"


def _left_over(answer: DifferentialAnswer) -> Iterator[Words]:
    facts = answer.facts
    if answer.unexplained:
        names = finding_labels(facts, answer.unexplained)
        yield Words("by the likeliest", (names,), "NOT EXPLAINED")
    if answer.also_seen:
        lines = tuple(_also(answer, seen) for seen in answer.also_seen)
        yield Words("there without being to blame", lines, "ALSO SEEN")
    if answer.alike:
        lines = tuple(_alike(answer, pair) for pair in answer.alike)
        yield Words("no finding left on the list parts them", lines, "LOOKS ALIKE")
    if answer.passed_over:
        names = finding_labels(facts, answer.passed_over)
        yield Words("Not used (the question does not arise)", (names,))


def _also(answer: DifferentialAnswer, seen: AlsoSeen) -> str:
    finding = answer.facts.findings[seen.finding]
    answers = " or ".join(finding.word(said) for said in seen.answers)
    cause = cause_name(answer.facts, seen.condition)
    words = chance_words(answer.facts, seen.chance)
    return f"{finding.label.lower()} = {answers}; {cause} as a cause: {words}"


def _alike(answer: DifferentialAnswer, pair: LooksAlike) -> str:
    facts = answer.facts
    other = cause_name(facts, pair.other) if pair.listed else f"{pair.other} (not on the list)"
    test = pair.parted_by or "send organs to a laboratory"
    return f"{cause_name(facts, pair.condition)} and {other}: {test}"


def _look(answer: DifferentialAnswer, look: Look) -> NextSitting:
    facts = answer.facts
    sitting = facts.sittings[look.sitting]
    asked = f"most of all: {finding_labels(facts, look.findings[:AHEAD])}"
    moves = (_move(answer, move) for move in look.moves)
    why = (look.why,) if look.why else ()
    away = f", answer in {look.days:g} days" if look.days else ""
    title = f"{sitting.label} ({look.minutes:.0f} min{away}; {sitting.equipment})"
    return NextSitting(title, (asked, *why, *moves), key=look.sitting)


def _move(answer: DifferentialAnswer, move: Move) -> str:
    """Say what an outcome would do; a cause that is first anyway is named once."""
    facts = answer.facts
    answers = "; ".join(
        f"{facts.findings[name].label.lower()} {facts.findings[name].word(said)}"
        for name, said in move.answers
    )
    first = cause_name(facts, move.first)
    rises = "" if move.rises in ("", move.first) else f"; {cause_name(facts, move.rises)} rises"
    step = "" if move.changes_step else "; the step stays"
    words = chance_words(facts, move.chance)
    return f"{words} (as when {answers or 'nothing stands out'}): first is {first}{rises}{step}"


def _in_one(title: str, blocks: Iterable[Words]) -> Words:
    """Return several pieces as one that is shown on demand, a line for each."""
    lines = tuple(f"{block.title}. {'; '.join(block.lines)}".strip() for block in blocks)
    return Words(title, lines, folded=True)
