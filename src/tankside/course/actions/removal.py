"""Take an agent out at the end: carbon where it helps, and water changes without put-back."""

from __future__ import annotations

from tankside.course.actions.change import WaterChange
from tankside.course.actions.media import Carbon


def removal(
    at_h: int, body: str, litres: float, changes: int, every_h: int, carbon: bool
) -> tuple[Carbon | WaterChange, ...]:
    """Return the steps: carbon in first (when it helps), then changes that put nothing back."""
    steps: list[Carbon | WaterChange] = [Carbon(at_h, body, in_water=True)] if carbon else []
    steps += [WaterChange(at_h + n * every_h, body, litres, put_back=False) for n in range(changes)]
    return tuple(steps)
