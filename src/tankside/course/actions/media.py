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
        of = ledger.where(self.body).replace(" in ", " of ")
        text = (
            f"Put fresh carbon in the filter{of}."
            if self.in_water
            else f"Take the carbon out{of}. Keep it OUT until this card says otherwise."
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
        value = self.turnover_per_h if self.on else 0.0
        text = f"Turn UV{ledger.where(self.body)} {'on' if self.on else 'off'}."
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
        value = self.turnover_per_h if self.on else 0.0
        where = ledger.where(self.body)
        text = f"Run the fine filter{where}; rinse it daily."
        if not self.on:
            text = f"Stop the fine filter{where}."
        return Declared((Switched(self.body, Switch.FINE_FILTER, value),), text)
