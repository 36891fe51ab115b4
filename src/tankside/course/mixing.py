"""Mass of everything dissolved in one body: what each step keeps and gains, hour by hour.

The water is fully mixed. In each hour the steps are applied in order, which composes to one
line ``x -> keep x + gain`` per row and stratum; then the hour's own losses and production act.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tankside.course.recur import recur

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Step:
    """One step as entered: a mass added or a value set in ``row``, or an exchange."""

    row: int | None = None
    added: float | None = None
    value: float | None = None
    litres: float = 0.0
    new: Floats | None = None


@dataclass(slots=True)
class Mixing:
    """Rows of concentrations of one body; arrays have shape (rows, strata, hours).

    ``new`` is the concentration of each row in the ordinary new water; NaN where new water is
    matched to the tank and so changes nothing.
    """

    names: tuple[str, ...]
    volume_l: Floats
    start: Floats
    hours: int
    keep: Floats = field(init=False)
    gain: Floats = field(init=False)
    stay: Floats | None = None
    made: Floats | None = None
    log: list[tuple[int, Step]] = field(default_factory=list)

    def __post_init__(self) -> None:
        shape = (len(self.names), self.volume_l.size, self.hours)
        self.keep = np.ones(shape)
        self.gain = np.zeros(shape)
        self.keep[:, :, 0] = 0.0
        self.gain[:, :, 0] = self.start

    def row(self, name: str) -> int:
        """Return the index of a row."""
        return self.names.index(name)

    def add(self, hour: int, row: int, amount: float) -> None:
        """Add ``amount`` (mass in the row's unit times litres) at the start of an hour."""
        self.log.append((hour, Step(row, added=amount)))
        self.gain[row, :, hour] += amount / self.volume_l

    def exchange(self, hour: int, litres: float, new: Floats) -> None:
        """Take ``litres`` out and put new water in; rows where ``new`` is NaN do not change."""
        self.log.append((hour, Step(litres=litres, new=new)))
        share = np.minimum(1.0, litres / self.volume_l)
        matched = np.isnan(new)
        left = 1 - np.where(matched[:, None], 0.0, share)
        self.keep[:, :, hour] *= left
        self.gain[:, :, hour] *= left
        self.gain[:, :, hour] += (1 - left) * np.where(matched, 0.0, new)[:, None]

    def set(self, hour: int, row: int, value: float) -> None:
        """Set a row to a measured value."""
        self.log.append((hour, Step(row, value=value)))
        self.keep[row, :, hour] = 0.0
        self.gain[row, :, hour] = value

    def rates(self) -> tuple[Floats, Floats]:
        """Return (share that stays, what is made) of each hour; 1 and 0 where not set."""
        stay = np.ones_like(self.keep) if self.stay is None else self.stay
        made = np.zeros_like(self.keep) if self.made is None else self.made
        return stay, made

    def solve(self, rows: Sequence[int] | None = None) -> Floats:
        """Return the concentrations at the start of each hour, after its steps.

        ``stay`` (share left after an hour) and ``made`` (gained in an hour) act between hours.
        """
        pick = slice(None) if rows is None else list(rows)
        keep, gain = self.keep[pick], self.gain[pick]
        if self.made is not None:
            gain = gain.copy()
            gain[:, :, 1:] += keep[:, :, 1:] * self.made[pick][:, :, :-1]
        if self.stay is not None:
            keep = keep.copy()
            keep[:, :, 1:] *= self.stay[pick][:, :, :-1]
        return recur(keep, gain)
