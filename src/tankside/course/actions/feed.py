"""Feed, fast, and feed that carries an agent."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.bodies.effects import Switch, Switched
from tankside.course.bodies.tank_hours import Channel, TimedEvent
from tankside.course.bodies.words import show


@dataclass(frozen=True, slots=True)
class Fast:
    """No food from ``at_h`` until feeding is resumed."""

    kind: ClassVar[str] = "fast"

    at_h: int
    body: str

    def declare(self, ledger: Ledger) -> Declared:
        """Stop the feed."""
        del ledger
        return Declared(
            (Switched(self.body, Switch.FEED, 0.0),),
            "No food.",
            events=(TimedEvent(self.at_h, self.body, Channel.FAST),),
        )


@dataclass(frozen=True, slots=True)
class Resume:
    """Feed again, a share of the usual ration."""

    kind: ClassVar[str] = "feed"

    at_h: int
    body: str
    share: float = 1.0

    def declare(self, ledger: Ledger) -> Declared:
        """Set the ration."""
        del ledger
        ration = "the usual ration" if self.share == 1 else f"{self.share:.0%} of the usual ration"
        return Declared((Switched(self.body, Switch.FEED, self.share),), f"Feed {ration}.")


@dataclass(frozen=True, slots=True)
class MedicatedFeed:
    """Give a group feed that carries an agent, told per kg of fish and day."""

    kind: ClassVar[str] = "medicated_feed"

    at_h: int
    body: str
    group: str
    agent: str
    mg_per_kg_day: float

    def declare(self, ledger: Ledger) -> Declared:
        """Tell the feed event; nothing goes into the water account."""
        event = TimedEvent(
            self.at_h, self.body, Channel.FEED, group=self.group, agent=self.agent,
            amount=self.mg_per_kg_day, unit="mg/kg/d",
        )  # fmt: skip
        text = (
            f"Feed {ledger.group_name(self.group)} with the {ledger.agent_name(self.agent)} feed "
            f"({show(self.mg_per_kg_day, 'mg')} per kg of fish)."
        )
        return Declared((), text, events=(event,))
