"""How cases ended, by condition and by agent, with the number of cases behind each figure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from sqlalchemy import Connection, select

from tankside.records.journal.case_words import AGENT, CONDITION, SHORT
from tankside.records.journal.projected_case import ProjectedCase
from tankside.records.journal.schema import CASE_OUTCOME, CASE_WORD

EVERY = "every"


@dataclass(slots=True)
class OutcomeCount:
    """What became of the cases of one condition or agent.

    Args:
        place: ``every``, ``condition`` or ``agent``.
        name: its short name; "" for every case.
        cases: how many cases there are.
        outcomes: how many of the closed ones ended in each way.
        days: how long each closed one lasted [d].
        fish: fish at the start in the closed ones in which they were counted.
        deaths: deaths in those.
    """

    place: str
    name: str
    cases: int = 0
    outcomes: dict[str, int] = field(default_factory=dict)
    days: list[int] = field(default_factory=list)
    fish: int = 0
    deaths: int = 0

    @property
    def closed(self) -> int:
        """How many of the cases are closed."""
        return len(self.days)


def outcome_rows(case: ProjectedCase) -> list[dict[str, object]]:
    """Return the row of a case."""
    view = case.view
    closed = view.closed
    last = view.last_moment() if closed is None else closed.moment
    fish = [group for group in view.stock.values() if group.living == "fish"]
    counted = [group.alive for group in fish]
    known_now = None if not fish or None in counted else sum(n for n in counted if n is not None)
    deaths = sum(death.number for death in view.deaths)
    return [
        {
            "closed_on": None if closed is None else last.day.isoformat(),
            "outcome": None if closed is None else closed.outcome,
            "days": view.day(last),
            "fish": None if known_now is None else known_now + deaths,
            "deaths": deaths,
        }
    ]


def outcome_counts(connection: Connection) -> list[OutcomeCount]:
    """Return the counts over every case, then by condition and by agent."""
    counts = {(EVERY, ""): OutcomeCount(EVERY, "")}
    topics = _topics(connection)
    for row in connection.execute(select(CASE_OUTCOME)):
        for place, name in ((EVERY, ""), *topics.get(row.case_number, ())):
            count = counts.setdefault((place, name), OutcomeCount(place, name))
            count.cases += 1
            if row.closed_on is None:
                continue
            count.outcomes[row.outcome] = count.outcomes.get(row.outcome, 0) + 1
            count.days.append(row.days)
            if row.fish is not None:
                count.fish += row.fish
                count.deaths += row.deaths
    places = (EVERY, CONDITION, AGENT)
    return sorted(counts.values(), key=lambda c: (places.index(c.place), -c.cases, c.name))


def _topics(connection: Connection) -> dict[int, list[tuple[str, str]]]:
    topics: dict[int, list[tuple[str, str]]] = {}
    for number, place, name in _names(connection):
        topics.setdefault(number, []).append((place, name))
    return topics


def _names(connection: Connection) -> Iterator[tuple[int, str, str]]:
    """Yield the short names of conditions and agents; the words of longer names are no names."""
    wanted = select(CASE_WORD.c.case_number, CASE_WORD.c.place, CASE_WORD.c.word)
    for number, place, word in connection.execute(
        wanted.where(CASE_WORD.c.place.in_((CONDITION + SHORT, AGENT + SHORT)))
    ):
        yield number, place.removesuffix(SHORT), word
