"""A practice case as pages: one question at a time, then what each answer costs and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from hashlib import sha256

from tankside import library
from tankside.claims.care import MARKS
from tankside.claims.teaching import PracticeCase, PracticeChoice, PracticeStep
from tankside.diagnose import Explanation
from tankside.library.diagnosis_files import load_diagnosis
from tankside.report.differential_words import cause_name, chance_words, spoken
from tankside.report.teaching.keepers import claim_sources
from tankside.services.practice import (
    AnsweredStep,
    PracticeWalk,
    best_choice,
    fits_after,
    minutes_of,
    practice_cases,
)

HARM: Mapping[int, str] = {
    0: "does no harm",
    1: "loses time",
    2: "may lose fish",
    3: "may lose many, or hurt a person",
}
LEVELS = {1: "One plain cause", 2: "What misleads"}
MOST_SPEAKING = 2
JUDGED = "Harm and minutes are judgements; the reasons are cited."


@dataclass(frozen=True, slots=True)
class ChoiceShown:
    """One answer as it is shown.

    Args:
        value: what is sent for it.
        words: what is done or said.
        chosen: whether it was chosen.
        best: whether it is the harmless answer that takes least.
        harm: what it does, in words.
        minutes: what it takes.
        reasons: why.
        sources: works behind the reasons.
    """

    value: int
    words: str
    chosen: bool = False
    best: bool = False
    harm: str = ""
    minutes: str = ""
    reasons: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PracticePage:
    """One page of a practice case.

    Args:
        id: of the case.
        title: of the case.
        call: what the keeper said.
        level: in words.
        answers: the answers so far, as they are sent on.
        place: ``2 of 3``.
        shows: what is told at this step.
        ask: the question.
        choices: the answers, to choose from or as they were judged.
        judged: whether the answers are shown with what they cost.
        lead: what the answer did.
        sums: harm and minutes of the whole case, at its end.
        fits: what fits after the step, in words.
        published: what the case was held against, at its end.
        is_last: whether no further question comes.
    """

    id: str
    title: str
    call: str
    level: str
    answers: tuple[int, ...]
    place: str
    shows: str
    ask: str
    choices: tuple[ChoiceShown, ...] = ()
    judged: bool = False
    lead: str = ""
    sums: str = ""
    fits: tuple[str, ...] = ()
    published: tuple[str, ...] = ()
    is_last: bool = False


def practice_shelf() -> Mapping[str, tuple[PracticeCase, ...]]:
    """Return the cases by level in words."""
    cases = practice_cases().values()
    return {words: tuple(c for c in cases if c.level == n) for n, words in LEVELS.items()}


def practice_page(walk: PracticeWalk, answers: tuple[int, ...], *, onward: bool) -> PracticePage:
    """Return the next question, or how the last answer is judged.

    Args:
        walk: the case as far as it was walked.
        answers: the answers so far.
        onward: whether the judgement of the last answer was read, and the next question is wanted.
    """
    if walk.ahead is not None and (onward or not walk.answered):
        return _question(walk, walk.ahead, answers)
    return _judgement(walk, walk.answered[-1], answers)


def _question(walk: PracticeWalk, step: PracticeStep, answers: tuple[int, ...]) -> PracticePage:
    number = len(answers) + 1
    shown = (
        ChoiceShown(value, choice_words(step.choices[value]))
        for value in mixed(walk.case.id, number, len(step.choices))
    )
    return replace(_blank(walk, step, number, answers), choices=tuple(shown))


def _judgement(walk: PracticeWalk, last: AnsweredStep, answers: tuple[int, ...]) -> PracticePage:
    number, is_last = len(answers), walk.ahead is None
    order = mixed(walk.case.id, number, len(last.step.choices))
    explained = _explanations(walk.case.id, number, last.step)
    return replace(
        _blank(walk, last.step, number, answers),
        judged=True,
        is_last=is_last,
        lead=f"This answer {HARM[last.chosen.harm]}.",
        sums=_sums(walk) if is_last else "",
        choices=tuple(_judged(last, value, explained) for value in order),
        fits=_fits(walk.case.id, number),
        published=published(walk.case) if is_last else (),
    )


def _blank(
    walk: PracticeWalk, step: PracticeStep, number: int, answers: tuple[int, ...]
) -> PracticePage:
    case = walk.case
    place = f"{number} of {len(case.steps)}"
    return PracticePage(
        case.id, case.title, case.call, LEVELS[case.level], answers, place, step.shows, step.ask
    )


def mixed(case: str, number: int, count: int) -> tuple[int, ...]:
    """Return the places of the answers in the order in which they are shown, always the same.

    Args:
        case: id of the case.
        number: of the question, from 1.
        count: how many answers there are.
    """
    digests = {n: sha256(f"{case} {number} {n}".encode()).hexdigest() for n in range(count)}
    return tuple(sorted(digests, key=lambda n: digests[n]))


def choice_words(choice: PracticeChoice) -> str:
    """Return an answer in words: what is done, the name of a cause, or a sitting."""
    if choice.words:
        return choice.words
    facts = load_diagnosis()
    return cause_name(facts, choice.cause) if choice.cause else facts.sittings[choice.sitting].label


def reasons_of(choice: PracticeChoice) -> tuple[str, ...]:
    """Return why, as the statements say it; one without a source carries its mark."""
    facts = library.load()
    claims = [facts.claim(key) for key in choice.because]
    return tuple(
        f"{claim.value}" if claim.source else f"{claim.value} ({MARKS[claim.provenance]})"
        for claim in claims
    )


def sources_of(choice: PracticeChoice) -> tuple[str, ...]:
    """Return the works behind the reasons of an answer."""
    facts = library.load()
    return claim_sources(facts.claim(key) for key in choice.because)


def _judged(
    last: AnsweredStep, value: int, explained: Mapping[str, Explanation]
) -> ChoiceShown:  # fmt: skip
    choice = last.step.choices[value]
    why = (*_speaking(explained.get(choice.cause)), *reasons_of(choice))
    return ChoiceShown(
        value, choice_words(choice), choice is last.chosen, choice is best_choice(last.step),
        HARM[choice.harm], f"{minutes_of(choice):g} min", why, sources_of(choice),
    )  # fmt: skip


def _explanations(case: str, steps: int, step: PracticeStep) -> Mapping[str, Explanation]:
    if not any(choice.cause for choice in step.choices):
        return {}
    return fits_after(case, steps).reasons


def _speaking(reason: Explanation | None) -> tuple[str, ...]:
    """Return what speaks most for and against a cause."""
    if reason is None:
        return ()
    facts = load_diagnosis()
    lines = []
    for head, speaks in (("For it", reason.supports), ("Against it", reason.against)):
        if speaks:
            said = "; ".join(spoken(facts, entry) for entry in speaks[:MOST_SPEAKING])
            lines.append(f"{head}: {said}.")
    return tuple(lines)


def _fits(case: str, steps: int) -> tuple[str, ...]:
    answer = fits_after(case, steps)
    return tuple(
        f"{cause_name(answer.facts, cause)}: {chance_words(answer.facts, answer.ranking.of(cause))}"
        for cause in answer.ranking.order()[:3]
    )


def _sums(walk: PracticeWalk) -> str:
    more = walk.minutes - walk.least_minutes
    beside = f"{more:g} more than" if more > 0 else f"{-more:g} fewer than" if more < 0 else "as"
    short = f"{walk.minutes:g} minutes, {beside} the shortest harmless way"
    harmed = HARM[walk.harm]
    return f"The worst answer {harmed}; {short}. {JUDGED}"


def published(case: PracticeCase) -> tuple[str, ...]:
    """Return the published cases that a case was held against, as citations."""
    sources = library.load().sources
    return tuple(sources[entry].citation if entry in sources else entry for entry in case.published)
