"""Refuse what is logged as done where it answers nothing that is open, or names no substance."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.case.done import ActionDone
from tankside.claims import Knowledge
from tankside.claims.substance_names import named_in, resolve
from tankside.course.actions.lived import agent_of_step
from tankside.errors import BadInput
from tankside.intake.account import answering, says_put_in
from tankside.intake.course_steps import CourseStep, FollowedSteps, followed_steps, step_named
from tankside.intake.joined_waters import joined_waters
from tankside.intake.water_balance import reader_of

SHOWN = 12
"""Open steps that a refusal lists."""


def refuse_answer(view: CaseView, facts: Knowledge, entry: ActionDone) -> None:
    """Refuse an entry of something done that cannot be tied to what it tells of.

    Args:
        view: the case with the entry in it.
        facts: what substances are called.
        entry: what was logged.

    Raises:
        BadInput: E-COURSE-04 no such step, or one that is closed; E-COURSE-05 no such amount
            asked for; E-PROD-02 it does not say which substance.
    """
    read = reader_of(view, facts)
    answers = answering(view, read.name_of)
    courses = followed_steps(view, facts, answers)
    if entry.step is not None:
        _refuse_step(view, courses, entry)
    asked = any(dose.id == entry.answers for dose in view.doses)
    if entry.answers is not None and not asked:
        raise _no_amount(view, entry)
    step = next((s for c in courses for s in c.steps if entry in s.entries), None)
    if entry.state in ("done", "other_amount") and not (asked or entry.id in answers):
        _refuse_unnamed(facts, entry, step)


def _refuse_step(view: CaseView, courses: tuple[FollowedSteps, ...], entry: ActionDone) -> None:
    step = step_named(courses, entry.step or "")
    if step is None:
        raise _no_step(courses, entry, "No step of this case has that name.")
    _refuse_elsewhere(view, entry, step)
    if step.dropped and len(step.entries) == 1 and entry.again != "yes":
        raise _no_step(
            courses, entry, "The course of this step was replaced or stopped before its time."
        )
    before = [other for other in step.entries if other.id != entry.id]
    if before and entry.again != "yes":
        raise _no_step(
            courses, entry, f"Step {step.name} was answered already (entry {before[-1].id})."
        )


def _refuse_elsewhere(view: CaseView, entry: ActionDone, step: CourseStep) -> None:
    """Refuse a step that is told of another water than it is done in, or leads to."""
    waters = joined_waters(view)
    ends = (step.action.body, str(getattr(step.action, "to_body", "")))
    there = {part for end in ends if end for part in waters.now(end)}
    if "system" not in entry.model_fields_set or there & set(waters.now(entry.system)):
        return
    raise BadInput(
        "E-COURSE-04",
        f"Step {step.name} is not one of that water.",
        given=entry.system,
        needed=f"system={step.action.body}, or no system at all",
        next_step="Leave system= out: the step says which water it is done in. What went into "
        "another water is told without step=, with agent= and amount=.",
        field="system",
    )


def _no_step(courses: tuple[FollowedSteps, ...], entry: ActionDone, message: str) -> BadInput:
    names = dict.fromkeys(
        f"{step.name} ({step.action.kind.replace('_', ' ')})"
        for course in courses
        for step in course.steps
        if step.is_open
    )
    listed = ", ".join(list(names)[:SHOWN]) or "none"
    more = f" and {len(names) - SHOWN} more" if len(names) > SHOWN else ""
    return BadInput(
        "E-COURSE-04",
        message,
        given=entry.step,
        needed=f"an open step: {listed}{more}",
        next_step="Name an open step; where it was done once more, or in spite of that, add "
        "again=yes; where the first entry was wrong, correct that one.",
        field="step",
    )


def _no_amount(view: CaseView, entry: ActionDone) -> BadInput:
    asked = ", ".join(f"{dose.id} ({dose.agent})" for dose in view.doses) or "none"
    return BadInput(
        "E-COURSE-05",
        "That entry asked for no amount.",
        given=entry.answers,
        needed=f"the number of an entry that asked for an amount: {asked}",
        next_step="Name a step of a course with step=; give what went in besides as amount= with "
        "agent=.",
        field="answers",
    )


def _refuse_unnamed(facts: Knowledge, entry: ActionDone, step: CourseStep | None) -> None:
    """Ask which substance went in where the words do not say it for sure."""
    if entry.agent is not None or (step is not None and agent_of_step(step.action)):
        return
    if step is not None and entry.amount is None:
        return
    named = sorted(named_in(facts, entry.action))
    if entry.amount is None and not (named and says_put_in(entry.action)):
        return
    if len(named) == 1 and entry.amount is not None and _whole(facts, entry.action):
        return
    meant = " or ".join(f"agent={name}" for name in named) or "agent=, as the label names it"
    raise BadInput(
        "E-PROD-02",
        "This says that something went into the water, and not for sure what or how much.",
        given=entry.action,
        needed=f"{meant}, and the amount",
        next_step="Type it again with agent= and amount=, or name the step (step=) or the entry "
        "that asked for it (answers=).",
        field="agent",
    )


def _whole(facts: Knowledge, action: str) -> bool:
    """Whether the words of an action are the name of a substance and nothing else."""
    return resolve(facts, action).agent is not None
