"""Medicines that went in by an event alone: not known until somebody says what they were."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.case import CaseView
from tankside.case.described import Event
from tankside.case.done import ActionDone
from tankside.case.medicine import AgentInWater
from tankside.intake.event_words import event_answer
from tankside.library.diagnosis_files import load_case_words, load_diagnosis

DOSED = "dosed_medicine"
NO_WORDS = "a medicine"


def told_as_events(view: CaseView) -> Iterator[AgentInWater]:
    """Yield what went into a water by an event alone, under the words of the event.

    An event whose topic is a dosed medicine says that something went in, and nobody said what or
    how much. It is answered by an entry of the same day and water that names the substance
    (``in-water`` or ``done``); each such entry answers one event.
    """
    answers = [(entry.moment.day, entry.system) for entry in _tellings(view)]
    for event in _dosed(view):
        key = (event.moment.day, view.system_meant(event.system))
        if key in answers:
            answers.remove(key)
            continue
        yield AgentInWater(
            id=event.id,
            occurred_at=event.occurred_at,
            day_only=event.day_only,
            recorded_at=event.recorded_at,
            by=event.by,
            agent=event.what or NO_WORDS,
            amount_state="keeper_does_not_know",
            system=key[1],
        )


def _dosed(view: CaseView) -> Iterator[Event]:
    topical = [event for event in view.events if event.state == "answered" and event.topic]
    if not topical:
        return
    words, facts = load_case_words(), load_diagnosis()
    for event in topical:
        if event_answer(event, words, facts) == DOSED and view.system_meant(event.system):
            yield event


def _tellings(view: CaseView) -> Iterator[AgentInWater | ActionDone]:
    """Yield what says by name that something went in."""
    for lot in view.agents_in_water:
        if lot.agent:
            yield lot
    for done in view.actions_done:
        if done.agent and done.state in ("done", "other_amount"):
            yield done
