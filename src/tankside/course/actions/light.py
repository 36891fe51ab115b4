"""Set the hours of light a day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.bodies.effects import Switch, Switched
from tankside.course.bodies.words import show


@dataclass(frozen=True, slots=True)
class Light:
    """Give ``hours_per_day`` of light from now on (0 = dark)."""

    kind: ClassVar[str] = "light"

    at_h: int
    body: str
    hours_per_day: float

    def declare(self, ledger: Ledger) -> Declared:
        """Switch the lights."""
        del ledger
        text = (
            f"Lights on {show(self.hours_per_day, 'h')} a day."
            if self.hours_per_day > 0
            else "Lights off; cover the tank."
        )
        return Declared((Switched(self.body, Switch.LIGHTS, self.hours_per_day),), text)
