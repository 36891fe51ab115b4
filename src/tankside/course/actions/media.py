"""Carbon, UV and fine filtration: what stands in the stream of water."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.bodies.effects import Switch, Switched


@dataclass(frozen=True, slots=True)
class Carbon:
    """Take the carbon out or put it back."""

    kind: ClassVar[str] = "carbon"

    at_h: int
    body: str
    in_water: bool

    def declare(self, ledger: Ledger) -> Declared:
        """Switch the carbon."""
        del ledger
        text = (
            "Put fresh carbon in the filter."
            if self.in_water
            else "Take the carbon out. Keep it OUT until this card says otherwise."
        )
        return Declared((Switched(self.body, Switch.CARBON, float(self.in_water)),), text)


@dataclass(frozen=True, slots=True)
class UltraViolet:
    """Turn the UV unit on or off; ``turnover_per_h`` is the flow through it when on."""

    kind: ClassVar[str] = "uv"

    at_h: int
    body: str
    on: bool
    turnover_per_h: float = 0.0

    def declare(self, ledger: Ledger) -> Declared:
        """Switch the UV unit."""
        del ledger
        value = self.turnover_per_h if self.on else 0.0
        text = "Turn UV on." if self.on else "Turn UV off."
        return Declared((Switched(self.body, Switch.UV, value),), text)


@dataclass(frozen=True, slots=True)
class FineFilter:
    """Run a fine filter, or stop it."""

    kind: ClassVar[str] = "fine_filter"

    at_h: int
    body: str
    on: bool
    turnover_per_h: float = 0.0

    def declare(self, ledger: Ledger) -> Declared:
        """Switch the fine filter."""
        del ledger
        value = self.turnover_per_h if self.on else 0.0
        text = "Run the fine filter; rinse it daily." if self.on else "Stop the fine filter."
        return Declared((Switched(self.body, Switch.FINE_FILTER, value),), text)
