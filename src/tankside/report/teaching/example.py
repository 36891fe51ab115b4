"""The example case step by step: what was seen, what was done, and why."""

from __future__ import annotations

from tankside.claims.teaching import PracticeCase, PracticeStep
from tankside.present.sheet import Sheet, SheetPart
from tankside.present.words import EXAMPLE_MARK
from tankside.report.differential_words import cause_name, chance_words
from tankside.report.teaching.practice import choice_words, reasons_of, sources_of
from tankside.services.practice import best_choice, example_case, fits_after

SHOWN = 3


def example_sheet() -> Sheet:
    """Return the invented case that the program also tells as its demonstration."""
    case = example_case()
    return Sheet(
        key="example",
        question=f"{EXAMPLE_MARK}. {case.title}: why this step now?",
        title=case.call,
        lead="Keeper, tank and counts are made up; the ranking is worked out after each step.",
        parts=tuple(_step(case, number, step) for number, step in enumerate(case.steps, 1)),
    )


def _step(case: PracticeCase, number: int, step: PracticeStep) -> SheetPart:
    choice = best_choice(step)
    return SheetPart(
        f"{number}. {step.ask}",
        (
            step.shows,
            f"{choice_words(choice)}.",
            *reasons_of(choice),
            f"What fits now: {_fits(case, number)}.",
        ),
        basis=sources_of(choice),
    )


def _fits(case: PracticeCase, steps: int) -> str:
    answer = fits_after(case.id, steps)
    return "; ".join(
        f"{cause_name(answer.facts, cause)}: {chance_words(answer.facts, answer.ranking.of(cause))}"
        for cause in answer.ranking.order()[:SHOWN]
    )
