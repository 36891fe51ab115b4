"""The few combinations of uncertain water that a course is run under."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims import setting
from tankside.course.bodies.volume import Volume

_EDGE_WEIGHT = setting(0.25, "each bound of the volume weighs half of the middle")
_MIDDLE_WEIGHT = setting(0.5, "the middle weighs as much as both bounds together")


@dataclass(frozen=True, slots=True)
class StratumSpec:
    """One combination: where in its range the volume and the losses lie.

    ``place`` is -1 (smaller volume, least removal by filter and losses, warmer by the error of a
    thermometer: the harsher side for fish), 0 (point) or 1 (larger volume, most removal, cooler).
    """

    name: str
    weight: float
    place: int

    def volume_l(self, volume: Volume) -> float:
        """Return the volume in this stratum [L]."""
        return (volume.point_l, volume.larger_l, volume.smaller_l)[self.place]

    def pick(self, low: float, value: float, high: float) -> float:
        """Return the end of a range of a removal that belongs to this stratum."""
        return (value, high, low)[self.place]


THREE_STRATA = (
    StratumSpec("smaller", _EDGE_WEIGHT, -1),
    StratumSpec("point", _MIDDLE_WEIGHT, 0),
    StratumSpec("larger", _EDGE_WEIGHT, 1),
)
