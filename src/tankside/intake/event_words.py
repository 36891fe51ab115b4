"""What an event says of what changed lately: by its topic and its amounts; its words only ask."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tankside.case import CaseView, Entry
from tankside.case.described import Event
from tankside.case.typed_value import slug
from tankside.claims.case_words import CaseWords
from tankside.claims.diagnosis import DiagnosisFacts
from tankside.library.diagnosis_files import load_case_words, load_diagnosis

FINDING = "recent_event"
WATER = "water_change_topup"


def event_answer(event: Event, words: CaseWords, facts: DiagnosisFacts) -> str | None:
    """Return which change an event tells of; None where only its free text could say.

    Args:
        event: an event that was answered.
        words: words that may be typed as the topic of a change.
        facts: the changes that there are.
    """
    answers = facts.findings[FINDING].answers
    topic = slug(event.topic or "")
    if topic in answers:
        return topic
    begun = [answer for answer in answers if topic and answer.startswith(f"{topic}_")]
    if len(begun) == 1:
        return begun[0]
    listed = [answer for answer, some in words.events if topic in map(slug, some)]
    if listed:
        return listed[0]
    water = event.water_changed is not None or event.water_topped_up is not None
    return WATER if water and WATER in answers else None


def suggested(event: Event, words: CaseWords) -> str | None:
    """Return the change that the words of an event may mean; it is asked, never taken for so."""
    said = f"{event.topic or ''} {event.what}".lower()
    return next((a for a, some in words.events if any(w in said for w in some)), None)


def event_questions(view: CaseView) -> tuple[str, ...]:
    """Return what is to be asked of the events of a case whose free text may mean a change."""
    return tuple(_questions(view.events))


def events_read(entries: Iterable[Entry]) -> list[str]:
    """Return one note for each event just added of which only words were kept."""
    return list(_questions(entry for entry in entries if isinstance(entry, Event)))


def _questions(events: Iterable[Event]) -> Iterator[str]:
    words, facts = load_case_words(), load_diagnosis()
    asked = facts.findings[FINDING]
    for event in events:
        if event.state != "answered" or event_answer(event, words, facts) is not None:
            continue
        maybe = suggested(event, words)
        kept = f"{event.what}: kept as words, no answer uses them."
        if maybe is None:
            yield f"{kept} A topic= of the list would be used: {', '.join(asked.answers[1:])}."
        else:
            yield (
                f"{kept} Was it a {asked.word(maybe)}? If so, correct entry {event.id} with "
                f"topic={maybe.replace('_', '-')}; if not, leave it."
            )
