"""Food that carries an agent, as a case tells it: the same is never in the water as well."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from tankside.case import CaseView
from tankside.case.medicine import DoseAsked
from tankside.claims import Agent, Knowledge
from tankside.claims.substance_names import resolve
from tankside.course import Caution, Level, System
from tankside.course.amounts.limits import FEED
from tankside.intake.account import asked_amounts
from tankside.intake.fed_days import fed_days
from tankside.intake.joined_waters import joined_waters
from tankside.intake.water_balance import reader_of
from tankside.quantity.dates import entry_moment_words
from tankside.quantity.moment import Moment


def in_water_already(facts: Knowledge, agent: Agent, system: System) -> Iterator[Caution]:
    """Yield E-DOSE-22 where the same active is in the water of the fish already."""
    for lot in system.residues:
        there = facts.agents.get(lot.agent)
        same = set() if there is None else set(there.actives) & set(agent.actives)
        if there is not None and same and (lot.high_mg_l is None or lot.high_mg_l > 0):
            yield _twice(agent, f"{there.short_name} is in the water already.", system.id)


def fed_already(
    view: CaseView, facts: Knowledge, agent: Agent, system: str, at: Moment
) -> Iterator[Caution]:
    """Yield E-DOSE-22 where the same active is in the food of these fish at a moment."""
    waters = joined_waters(view)
    here = waters.now(system)
    for fed in asked_amounts(view, waters, here, reader_of(view, facts).name_of):
        entry, other = fed.entry, resolve(facts, fed.entry.agent).agent
        if entry.route != FEED or fed.was_given is False or other is None:
            continue
        if set(other.actives) & set(agent.actives) and is_fed_at(facts, entry, at):
            when = entry_moment_words(entry.moment)
            yield _twice(
                agent,
                f"{other.short_name} is in the food (entry {entry.id}, {when}).",
                system,
            )


def is_fed_at(facts: Knowledge, entry: DoseAsked, at: Moment) -> bool:
    """Whether a moment lies in the days on which food that was asked for is fed."""
    days = fed_days(facts, entry)
    ends = entry.moment.when + timedelta(days=days)
    return entry.moment.utc <= at.utc and at.when < ends


def _twice(agent: Agent, words: str, body: str) -> Caution:
    return Caution(
        Level.BLOCKED,
        "E-DOSE-22",
        f"{words} Given both ways it is given twice.",
        f"No file says how much {agent.short_name.lower()} fish bear in food and water at once.",
        "",
        "Let the one end first; say it where it was not given (not-done with its number).",
        hour=0,
        body=body,
        agent=agent.id,
    )
