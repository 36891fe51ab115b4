"""Put the air stone in or take it out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.bodies.effects import Switch, Switched


@dataclass(frozen=True, slots=True)
class Air:
    """Turn extra air on or off at ``at_h``."""

    kind: ClassVar[str] = "air"

    at_h: int
    body: str
    on: bool

    def declare(self, ledger: Ledger) -> Declared:
        """Switch the air stone."""
        where = ledger.where(self.body)
        text = f"Turn the air stone{where} off."
        if self.on:
            text = f"Put the air stone in{where.removeprefix(' in').replace(' ', 'to ', 1)}."
        return Declared((Switched(self.body, Switch.AIR_STONE, float(self.on)),), text)
