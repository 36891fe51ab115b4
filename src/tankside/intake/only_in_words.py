"""Substances that a note or the words of an event name and no entry tells of: asked, never taken.

Free text is no evidence that something went in. But an amount worked out beside a note "gave 20 mL
of formalin" must not pass over it in silence.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from tankside.case import CaseView, Entry
from tankside.case.described import Event
from tankside.case.done import ActionDone, Note
from tankside.case.medicine import AgentInWater, DoseAsked
from tankside.claims import Knowledge
from tankside.claims.substance_names import named_in
from tankside.intake.told_as_event import told_as_events
from tankside.quantity.dates import day_words
from tankside.quantity.moment import Moment

if TYPE_CHECKING:
    from tankside.course import Caution

SUBSTANCE = "substance"


def asked_of_words(
    view: CaseView, facts: Knowledge, agent: str, system: str, now: Moment
) -> Iterator[Caution]:
    """Yield one caution for each note or event whose words name a substance nobody told of.

    Args:
        view: the case.
        facts: what substances are called.
        agent: what an amount is worked out of.
        system: the water it is for; events that name another are left out.
        now: words written later are left out.
    """
    from tankside.course import Caution, Level  # a reply to an entry does without a course

    for entry, name in _unanswered(view, facts, now):
        if isinstance(entry, Event) and entry.system not in (None, system):
            continue
        yield Caution(
            Level.CARE,
            "E-DOSE-20",
            f"Words of {day_words(entry.moment.day)} name {name}, and no entry tells whether it "
            "went in: it is not counted.",
            f"Words are kept and no amount rests on them: {words_of(entry)}.",
            "",
            _tell(name, entry),
            hour=0,
            body=system,
            agent=agent,
        )


def named_only_in_words(entries: Iterable[Entry], facts: Knowledge) -> list[str]:
    """Return one note for each entry just added whose words alone name a substance."""
    return [
        f"{words_of(entry)}: names {name} in words, which count for nothing. {_tell(name, entry)}"
        for entry in entries
        if isinstance(entry, Note | Event)
        for name in _names(entry, facts)
    ]


def told_by_event(view: CaseView, entries: Iterable[Entry]) -> list[str]:
    """Return one note for each event just added that puts something unknown into the water."""
    new = {entry.id for entry in entries}
    return [
        f"{lot.agent}: it counts as unknown and stops what it may not be mixed with. Say what it "
        f'was: in-water agent=... amount="..." on={lot.moment.day.isoformat()}.'
        for lot in told_as_events(view)
        if lot.id in new
    ]


def words_of(entry: Note | Event) -> str:
    """Return the free text of an entry."""
    return entry.text if isinstance(entry, Note) else entry.what


def _tell(name: str, entry: Note | Event) -> str:
    day = entry.moment.day.isoformat()
    return (
        f'If it went in, say so: in-water agent="{name}" amount="..." on={day}; if not, '
        f'not-done action="{name}" on={day}.'
    )


def _unanswered(
    view: CaseView, facts: Knowledge, now: Moment
) -> Iterator[tuple[Note | Event, str]]:
    events = [event for event in view.events if event.state == "answered"]
    spoken: list[Note | Event] = [*view.notes, *events]
    for entry in spoken:
        if entry.moment.utc > now.utc:
            continue
        for name in _names(entry, facts):
            if not _is_told(view, facts, name, entry.moment):
                yield entry, name


def _names(entry: Note | Event, facts: Knowledge) -> list[str]:
    """Return the names of the substances that words name."""
    agents = (facts.agents[key] for key in named_in(facts, words_of(entry)))
    return sorted(agent.short_name.lower() for agent in agents if agent.kind == SUBSTANCE)


def _is_told(view: CaseView, facts: Knowledge, name: str, since: Moment) -> bool:
    """Whether any entry of that day or later tells what became of a substance."""
    tellings: list[AgentInWater | ActionDone | DoseAsked] = [
        *view.agents_in_water,
        *view.actions_done,
        *view.doses,
    ]
    return any(
        entry.moment.day >= since.day and named_in(facts, name) & named_in(facts, _said(entry))
        for entry in tellings
    )


def _said(entry: AgentInWater | ActionDone | DoseAsked) -> str:
    action = entry.action if isinstance(entry, ActionDone) else ""
    return f"{entry.agent or ''} {action or ''}".replace("_", " ")
