"""Warm or cool the water towards a temperature at a rate a day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.bodies.effects import Warmed
from tankside.course.bodies.words import show


@dataclass(frozen=True, slots=True)
class Warm:
    """Move the heater (or the cooling) so that the water reaches ``to_c``.

    Args:
        at_h: elapsed hour.
        body: body of water.
        to_c: temperature to reach [C].
        per_day_c: at most this much in 24 h, up or down [C/d].
    """

    kind: ClassVar[str] = "warm"

    at_h: int
    body: str
    to_c: float
    per_day_c: float

    def declare(self, ledger: Ledger) -> Declared:
        """Set the target and the rate."""
        text = (
            f"Set {ledger.body_name(self.body)} towards {show(self.to_c, 'C')}, at most "
            f"{show(self.per_day_c, 'C')} in 24 h. Read the thermometer, not the heater."
        )
        return Declared((Warmed(self.body, self.to_c, self.per_day_c),), text)
