"""Move a group of fish to another body of water, or out of the case."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.bodies.effects import Moved
from tankside.course.bodies.tank_hours import Channel, TimedEvent

CARRIED_KEY = "practice.course.water_carried"


@dataclass(frozen=True, slots=True)
class Transfer:
    """Move ``group`` from ``body`` to ``to_body`` ("" = it leaves the case).

    A little of the old water comes along on the net and the fish, however careful the move: the
    event holds the share of the old body that it is, from a claim in litres. A move that was
    ``logged`` is no step to do: it has no words.
    """

    kind: ClassVar[str] = "transfer"

    at_h: int
    body: str
    group: str
    to_body: str
    logged: bool = False

    def declare(self, ledger: Ledger) -> Declared:
        """Move the fish; the water but for some drops, the bottom and what lives there stay."""
        litres = ledger.number(CARRIED_KEY) or (0.0, 0.0, 0.0)
        low, share, high = (min(1.0, part / ledger.volume_l(self.body)) for part in litres)
        event = TimedEvent(
            self.at_h, self.body, Channel.GROUP_MOVED, low, share, high,
            group=self.group, to_body=self.to_body,
        )  # fmt: skip
        if self.logged:
            return Declared((Moved(self.group, self.to_body),), "", events=(event,))
        where = ledger.body_name(self.to_body) if self.to_body else "another place, for good"
        text = (
            f"Move {ledger.group_name(self.group)} to {where}. Net or container for this move "
            "only; pour no water across."
        )
        return Declared((Moved(self.group, self.to_body),), text, events=(event,))
