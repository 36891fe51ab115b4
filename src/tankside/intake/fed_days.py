"""On how many days food that carries an agent is fed."""

from __future__ import annotations

from tankside.case.medicine import DoseAsked
from tankside.claims import Knowledge
from tankside.claims.substance_names import resolve
from tankside.course.amounts.limits import FEED
from tankside.quantity import Kind


def fed_days(facts: Knowledge, entry: DoseAsked) -> float:
    """Return the days of an asking: as typed, else as printed, else one."""
    if entry.days is not None:
        return entry.days.measured(Kind.TIME).number("d")
    agent = resolve(facts, entry.agent).agent
    printed = None if agent is None else agent.find(f"course_days.{FEED}")
    return 1.0 if printed is None else printed.number()
