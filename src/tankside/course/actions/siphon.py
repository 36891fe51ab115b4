"""Siphon the bottom: lifts part of what lies there, and takes water out with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.actions.change import change_words, put_back
from tankside.course.bodies.effects import Exchanged
from tankside.course.bodies.system import NewWater
from tankside.course.bodies.tank_hours import Channel, TimedEvent

SHARE_KEY = "practice.course.siphon_bottom_share"


@dataclass(frozen=True, slots=True)
class Siphon:
    """Siphon the bottom, taking ``litres`` with it, and refill (see ``WaterChange``).

    Args:
        at_h: elapsed hour.
        body: body of water.
        litres: water that leaves with it [L]; the same is put back.
        put_back: dose the new water to the strength being held.
        new_water: what is put in; the system's own new water when None.
    """

    kind: ClassVar[str] = "siphon"

    at_h: int
    body: str
    litres: float
    put_back: bool = True
    new_water: NewWater | None = None

    def declare(self, ledger: Ledger) -> Declared:
        """Remove water and bottom stages; the share lifted is a claim with its bracket."""
        new_water = self.new_water or ledger.new_water(self.body)
        back = put_back(ledger, self.at_h, self.body, self.litres, () if self.put_back else None)
        taken = min(1.0, self.litres / ledger.volume_l(self.body))
        low, share, high = ledger.number(SHARE_KEY) or (0.0, 0.0, 0.0)
        events = (
            TimedEvent(self.at_h, self.body, Channel.BOTTOM_REMOVED, low, share, high),
            TimedEvent(self.at_h, self.body, Channel.WATER_REMOVED, taken, taken, taken),
        )
        return Declared(
            (Exchanged(self.body, self.litres, new_water), *back.effects),
            "Siphon the whole bottom slowly. "
            + change_words(ledger, self.body, self.litres, back, new_water),
            events=events,
            amounts=back.amounts,
            cautions=back.cautions,
        )
