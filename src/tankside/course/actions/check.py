"""Look and measure: counts on fish, readings of water."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.bodies.effects import AGENT_PREFIX, ReadingEntered
from tankside.course.bodies.words import show

SPOTS = "spots on the worst fish"
LOOKS: Mapping[str, str] = {
    "spots": SPOTS,
    "animals": "parasites on the worst fish",
    "dust": "the fish that show dust in torchlight, of all looked at, and the breaths a minute of "
    "the fastest; scrape its skin too",
    "scrape": "the parasites on a fresh scrape of skin and gill of two fish, and the breaths a "
    "minute of the fastest",
}
"""What is asked for, by what the figures of a parasite say it is seen by."""
WRITTEN: Mapping[str, tuple[str, ...]] = {
    LOOKS["dust"]: ("dust on {} of {} fish", "{} breaths a minute", "{} on a slide"),
    LOOKS["scrape"]: ("{} on a slide of skin", "{} on a slide of gill", "{} breaths a minute"),
}
"""What is written down of a look, with {} where a number goes; three numbers where none stands."""


def look_for(seen_by: str) -> str:
    """Return what is asked for when fish are looked at.

    Args:
        seen_by: what the parasite is seen by, a word of its file; "" when nobody said.
    """
    return LOOKS.get(seen_by, SPOTS)


@dataclass(frozen=True, slots=True)
class Count:
    """Count something on a group of fish."""

    kind: ClassVar[str] = "count"

    at_h: int
    body: str
    group: str
    what: str = SPOTS

    def declare(self, ledger: Ledger) -> Declared:
        """Ask for the count; it changes nothing."""
        return Declared((), f"Count {self.what} ({ledger.group_name(self.group)}).")


@dataclass(frozen=True, slots=True)
class TakeReading:
    """Ask for readings of the water; it changes nothing."""

    kind: ClassVar[str] = "take_reading"

    at_h: int
    body: str
    names: tuple[str, ...]

    def declare(self, ledger: Ledger) -> Declared:
        """Ask for the readings by name."""
        where = ledger.body_name(self.body)
        return Declared((), f"Measure {', '.join(self.names)} in {where} and write it down.")


@dataclass(frozen=True, slots=True)
class ReadingTaken:
    """Readings that were taken: the water is set to them from this hour on.

    ``values`` are keyed by field names of ``System`` (for example "oxygen_mg_l") or
    "agent:<id>" for the strength of an agent on its basis [mg/L].
    """

    kind: ClassVar[str] = "reading"

    at_h: int
    body: str
    values: Mapping[str, float]

    def declare(self, ledger: Ledger) -> Declared:
        """Set the water to what was read."""
        read = [
            f"{ledger.agent_name(agent)} {show(value, 'mg/L')} {ledger.basis(agent)}"
            for name, value in self.values.items()
            if (agent := name.removeprefix(AGENT_PREFIX)) != name
        ]
        text = f"Read: {', '.join(read)}." if read else "Reading taken."
        return Declared((ReadingEntered(self.body, self.values),), text)
