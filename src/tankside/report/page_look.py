"""The page of an examination: the sittings, and the questions of the sitting that is open."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tankside.case import CaseView
from tankside.claims.diagnosis import NOTHING_AMISS, FindingFacts, Role
from tankside.errors import BadInput
from tankside.present.plates import plates_by_answer
from tankside.quantity.dates import entry_moment_words
from tankside.report.differential_words import finding_label
from tankside.services.differential_case import CaseDifferentialAnswer
from tankside.services.sitting import ON_SLIDE

ASKED_AT_ONCE = 9
"""Questions of a sitting that are asked at once; the others are folded away."""
BY_A_TEST = "water_test"
"""The sitting whose answers come from the readings of a water test, not from taps."""
CALL = "call"
"""The first sitting: what a keeper can tell on the telephone, the dangerous first."""
ON_THE_CALL = (
    "breathing", "mortality", "onset_speed", "share_affected", "flashing", "spots_visible",
    "food_taken", "new_fish", "recent_event", "chemical_exposure",
)  # fmt: skip
SAY_NOW = (
    "Air on, at full rate.",
    "No food.",
    "Nothing more into the water.",
    "Keep a litre of the tank's water before any change.",
)
"""What is said at once when a fish gasps or lies over; the emergency card says the rest."""
SAMPLES = (
    ("skin_scrape", "skin scrape"), ("fin_clip", "fin clip"), ("gill_clip", "gill clip"),
    ("spot", "a spot"), ("droppings", "droppings"), ("organ", "organ"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ShownAnswer:
    """One answer as a button; ``is_nothing`` tells that nothing is there or amiss.

    ``plate`` is the short name of its drawing ("" for none), ``bars`` what its scale bars are.
    """

    value: str
    words: str
    is_nothing: bool
    plate: str = ""
    bars: str = ""


@dataclass(frozen=True, slots=True)
class ShownQuestion:
    """One question of a sitting.

    Args:
        finding: its short name.
        label: what is looked at.
        question: what is asked.
        how: how it misleads; "" for nothing.
        answers: its answers, the mildest first.
        last: what was answered last, and when; "" while nobody looked.
        gate: the finding and the answer without which the question does not arise.
        on_slide: whether it is seen under the microscope.
    """

    finding: str
    label: str
    question: str
    how: str
    answers: tuple[ShownAnswer, ...]
    last: str
    gate: tuple[str, str]
    on_slide: bool

    @property
    def drawn(self) -> tuple[ShownAnswer, ...]:
        """Its answers that have a drawing; one alone stands beside the question."""
        return tuple(answer for answer in self.answers if answer.plate)


@dataclass(frozen=True, slots=True)
class ShownSitting:
    """One sitting in the list: ``looked`` of its ``asked`` questions have an answer already."""

    id: str
    label: str
    minutes: int
    equipment: str
    looked: int
    asked: int


@dataclass(frozen=True, slots=True)
class LookPage:
    """What the page of an examination shows.

    Args:
        sittings: every sitting, in the order that manuals give.
        here: the sitting that is open.
        why: what it is worth now.
        first: its questions that are asked at once.
        more: its other questions.
        groups: short name and name of each group of fish.
        fish: names of single fish that were looked at before.
        samples: what may have been put on the slide; none where nothing was.
        say_now: what to say at once, on the call; else none.
    """

    sittings: tuple[ShownSitting, ...]
    here: ShownSitting
    why: str
    first: tuple[ShownQuestion, ...]
    more: tuple[ShownQuestion, ...]
    groups: tuple[tuple[str, str], ...]
    fish: tuple[str, ...]
    samples: tuple[tuple[str, str], ...]
    say_now: tuple[str, ...]


def look_page(answer: CaseDifferentialAnswer, sitting: str) -> LookPage:
    """Return the page of an examination.

    Args:
        answer: what fits the case so far.
        sitting: the sitting to open; "" for the one that is worth most now.

    Raises:
        BadInput: E-FIND-01 there is no such sitting.
    """
    listed = tuple(_sitting(answer, name) for name in _in_order(answer))
    worth = {look.sitting: look.findings for look in answer.differential.looks.looks}
    chosen = sitting or next((name for name in worth if name != BY_A_TEST), listed[0].id)
    here = next((shown for shown in listed if shown.id == chosen), None)
    if here is None:
        raise _no_such(sitting, listed)
    questions = _questions(answer, here.id)
    at_once = _asked_at_once(questions, worth.get(here.id, ()))
    if here.id == CALL:
        at_once = frozenset(question.finding for question in questions)
    return LookPage(
        sittings=listed,
        here=here,
        why=_why(answer, here.id),
        first=tuple(q for q in questions if q.finding in at_once),
        more=tuple(q for q in questions if q.finding not in at_once),
        groups=tuple((name, group.description.name) for name, group in answer.view.stock.items()),
        fish=_fish(answer.view),
        samples=SAMPLES if any(q.on_slide for q in questions) else (),
        say_now=SAY_NOW if here.id == CALL else (),
    )


def about_fields() -> tuple[str, ...]:
    """Return the names of what is said once for a whole sitting."""
    return ("fish", "group", *ON_SLIDE)


def _in_order(answer: CaseDifferentialAnswer) -> Iterable[str]:
    sittings = answer.differential.facts.sittings.values()
    ordered = sorted(sittings, key=lambda sitting: sitting.order)
    return (CALL, *(sitting.id for sitting in ordered if sitting.id != BY_A_TEST))


def _asked(answer: CaseDifferentialAnswer, sitting: str) -> list[FindingFacts]:
    """Return the questions of a sitting that can be answered by a tap.

    What the case says already by its water, its stock and its events is not asked again.
    """
    here, derived = answer.differential, _derived(answer)
    if sitting == CALL:
        return [here.facts.findings[name] for name in ON_THE_CALL if name not in derived]
    return [
        finding
        for finding in here.facts.findings.values()
        if finding.sitting == sitting and finding.looked_for and finding.id not in derived
    ]


def _derived(answer: CaseDifferentialAnswer) -> frozenset[str]:
    answered = answer.differential.ranking.evidence.answers
    return frozenset(answered) - frozenset(answer.looked)


def _sitting(answer: CaseDifferentialAnswer, name: str) -> ShownSitting:
    asked = _asked(answer, name)
    looked = sum(finding.id in answer.looked for finding in asked)
    if name == CALL:
        return ShownSitting(CALL, "The call", 3, "telephone", looked, len(asked))
    facts = answer.differential.facts.sittings[name]
    minutes = round(facts.minutes)
    return ShownSitting(name, facts.label, minutes, facts.equipment, looked, len(asked))


def _questions(answer: CaseDifferentialAnswer, sitting: str) -> list[ShownQuestion]:
    """Return the questions, each that depends on another right behind it."""
    asked = _asked(answer, sitting)
    listed = {finding.id for finding in asked}
    behind = [finding for finding in asked if finding.gate_finding in listed]
    ordered: list[FindingFacts] = []
    for finding in asked:
        if finding not in behind:
            ordered += [finding, *(f for f in behind if f.gate_finding == finding.id)]
    return [_question(finding, answer) for finding in ordered]


def _question(finding: FindingFacts, answer: CaseDifferentialAnswer) -> ShownQuestion:
    last = ""
    if finding.id in answer.looked:
        look = answer.looked[finding.id][-1]
        said = " or ".join(finding.word(name) for name in sorted(look.answers)) or look.state
        last = f"{said.replace('_', ' ')}, {entry_moment_words(look.at)}"
    return ShownQuestion(
        finding=finding.id,
        label=finding.label,
        question=finding.question,
        how=finding.pitfalls,
        answers=tuple(_answer(finding, name) for name in finding.answers),
        last=last,
        gate=_open_gate(finding, answer),
        on_slide=finding.role is Role.MICROSCOPY,
    )


def _open_gate(finding: FindingFacts, answer: CaseDifferentialAnswer) -> tuple[str, str]:
    """Return what must be answered before the question arises; nothing once it was."""
    answered = answer.differential.ranking.evidence.answers.get(finding.gate_finding, frozenset())
    is_open = finding.gate_answer in answered
    return ("", "") if is_open else (finding.gate_finding, finding.gate_answer)


def _answer(finding: FindingFacts, name: str) -> ShownAnswer:
    plate = plates_by_answer().get(f"{finding.id}={name}")
    return ShownAnswer(
        value=name,
        words=finding.word(name),
        is_nothing=name.partition("_")[0] in NOTHING_AMISS,
        plate="" if plate is None else plate.id,
        bars="" if plate is None else "; ".join(plate.bars),
    )


def _asked_at_once(questions: list[ShownQuestion], worth: Iterable[str]) -> frozenset[str]:
    """Return what is asked at once: what is worth most, with all that depends on it."""
    first = [q.finding for name in worth for q in questions if q.finding == name][:ASKED_AT_ONCE]
    drawn = [q.finding for q in questions if q.drawn and not q.gate[0] and not q.last]
    chosen = dict.fromkeys([*first, *drawn, *(q.finding for q in questions)])
    at_once = set(list(chosen)[:ASKED_AT_ONCE])
    roots = at_once | {q.gate[0] for q in questions if q.finding in at_once} - {""}
    return frozenset(q.finding for q in questions if roots & {q.finding, q.gate[0]})


def _why(answer: CaseDifferentialAnswer, sitting: str) -> str:
    here = answer.differential
    for look in here.looks.looks:
        if look.sitting == sitting:
            names = ", ".join(finding_label(here.facts, name) for name in look.findings[:3])
            return f"Worth most now: {names}." if names else ""
    return ""


def _fish(view: CaseView) -> tuple[str, ...]:
    looked = [look.fish for looks in view.evidence.values() for look in looks if look.fish]
    return tuple(dict.fromkeys([*looked, *(count.fish for count in view.counts if count.fish)]))


def _no_such(sitting: str, listed: Iterable[ShownSitting]) -> BadInput:
    return BadInput(
        "E-FIND-01",
        "There is no such sitting.",
        given=sitting,
        needed=", ".join(shown.label for shown in listed),
        next_step="Choose one of the sittings.",
        field="sitting",
    )
