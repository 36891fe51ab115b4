"""Invented cases to practise on: where one is after some answers, and what they cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from tankside.claims.teaching import EXAMPLE_LEVEL, PracticeCase, PracticeChoice, PracticeStep
from tankside.diagnose import Evidence
from tankside.errors import BadInput
from tankside.library.diagnosis_files import load_diagnosis
from tankside.library.teaching_files import load_teaching
from tankside.services.differential import DifferentialAnswer, differential

SEED = 19


@dataclass(frozen=True, slots=True)
class AnsweredStep:
    """One step with what was chosen.

    Args:
        step: the step.
        chosen: the answer.
        best: the harmless answer that takes least.
    """

    step: PracticeStep
    chosen: PracticeChoice
    best: PracticeChoice


@dataclass(frozen=True, slots=True)
class PracticeWalk:
    """A case as far as it was walked.

    Args:
        case: the case.
        answered: the steps so far.
        ahead: the next step; None at the end.
        minutes: what the answers took [min].
        least_minutes: what the harmless answers to the same steps take [min].
        harm: the worst harm of any answer.
    """

    case: PracticeCase
    answered: tuple[AnsweredStep, ...]
    ahead: PracticeStep | None
    minutes: float
    least_minutes: float
    harm: int


def practice_cases() -> Mapping[str, PracticeCase]:
    """Return the cases to practise on, by id, the first level first."""
    return {name: c for name, c in load_teaching().items() if c.level != EXAMPLE_LEVEL}


def example_case() -> PracticeCase:
    """Return the case that is told step by step."""
    return next(case for case in load_teaching().values() if case.level == EXAMPLE_LEVEL)


def practice_walk(name: str, answers: Sequence[int]) -> PracticeWalk:
    """Return where a case stands after some answers.

    Args:
        name: id of the case.
        answers: for each step so far the place of the answer in its file, from 0.

    Raises:
        BadInput: E-LEARN-01 there is no such case, E-LEARN-02 an answer that its step has not.
    """
    cases = practice_cases()
    if name not in cases:
        raise BadInput(
            "E-LEARN-01",
            "There is no practice case of that name.",
            given=name,
            needed=", ".join(cases),
            next_step="Choose one of the list.",
            field="case",
        )
    case = cases[name]
    if len(answers) > len(case.steps) or any(
        not 0 <= answer < len(step.choices)
        for answer, step in zip(answers, case.steps, strict=False)
    ):
        raise BadInput(
            "E-LEARN-02",
            "That is no answer to a question of this case.",
            given=", ".join(str(answer + 1) for answer in answers),
            needed=f"at most {len(case.steps)} answers, each one of those that stand there",
            next_step="Begin the case again.",
            field="a",
        )
    answered = tuple(
        AnsweredStep(step, step.choices[answer], best_choice(step))
        for answer, step in zip(answers, case.steps, strict=False)
    )
    return PracticeWalk(
        case=case,
        answered=answered,
        ahead=case.steps[len(answers)] if len(answers) < len(case.steps) else None,
        minutes=sum(minutes_of(one_step.chosen) for one_step in answered),
        least_minutes=sum(minutes_of(one_step.best) for one_step in answered),
        harm=max((one_step.chosen.harm for one_step in answered), default=0),
    )


def best_choice(step: PracticeStep) -> PracticeChoice:
    """Return the answer of least harm, of these the one that takes least."""
    return min(step.choices, key=lambda choice: (choice.harm, minutes_of(choice)))


def minutes_of(choice: PracticeChoice) -> float:
    """Return what an answer takes [min]; of a sitting what the sitting takes."""
    if choice.minutes is not None:
        return choice.minutes
    return float(load_diagnosis().sittings[choice.sitting].minutes)


@lru_cache(maxsize=128)
def fits_after(name: str, steps: int) -> DifferentialAnswer:
    """Return what fits after so many steps of a case, the example among them.

    Args:
        name: id of the case.
        steps: how many steps were told.
    """
    seen: dict[str, str] = {}
    for step in load_teaching()[name].steps[:steps]:
        seen |= step.seen
    return differential(Evidence.of(seen), seed=SEED)
