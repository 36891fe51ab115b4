"""Answer a step of a course by its name: done, not done, another amount; or take an answer back."""

from __future__ import annotations

from pathlib import Path

from tankside import library
from tankside.case.typed_value import Typed
from tankside.errors import BadInput
from tankside.intake.course_steps import CourseStep, followed_steps, step_named
from tankside.records.case_store import read_case
from tankside.services.cases import add_typed, correct
from tankside.services.saving import Added

CHANGES = frozenset({"water_change", "siphon"})
"""Kinds of step whose amount is water taken out and put back."""


def answer_step(
    path: str | Path, name: str, state: str, *, by: str, amount: str = "", reason: str = ""
) -> Added:
    """Write into the case what became of a step.

    Args:
        path: the case file.
        name: short name of the step, as its card has it.
        state: ``done``, ``not_done`` or ``other_amount``.
        by: who answers.
        amount: the other amount as typed; litres of water where the step changes water.
        reason: why it was done so.

    Raises:
        BadInput: E-COURSE-04 no step has this name, or what the grammar of entries refuses.
        CouldNotSave: the disk refused; nothing was written.
    """
    step = _step(path, name)
    words: list[Typed] = [
        ("action", step.action.kind.replace("_", " ")),
        ("step", step.name),
        ("system", step.action.body),
    ]
    if amount:
        words.append(("changed" if step.action.kind in CHANGES else "amount", amount))
    if reason:
        words.append(("reason", reason))
    return add_typed(path, state, words, by=by)


def take_back(path: str | Path, name: str, *, by: str) -> Added:
    """Void the last answer to a step; the wrong answer and its correction both stand.

    Raises:
        BadInput: E-COURSE-04 no step has this name, or nobody has answered it.
    """
    step = _step(path, name)
    if not step.entries:
        raise _no_step(name, "a step that was answered")
    return correct(path, step.entries[-1].id, None, (), reason="wrong answer", by=by)


def _step(path: str | Path, name: str) -> CourseStep:
    view = read_case(path).view()
    step = step_named(followed_steps(view, library.load()), name)
    if step is None:
        raise _no_step(name, "the short name of a step of a card of this case")
    return step


def _no_step(name: str, needed: str) -> BadInput:
    return BadInput(
        "E-COURSE-04",
        "There is no such step to answer.",
        given=name,
        needed=needed,
        next_step="Open the day card again and answer a step of it; nothing was saved.",
        field="step",
    )
