"""Mass of everything dissolved in one body: what each step keeps and gains, hour by hour.

The water is fully mixed. In each hour the steps are applied in order, which composes to one
line ``x -> keep x + gain`` per row and stratum; then the hour's own losses and production act.
Steps are entered one by one and composed for all hours at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tankside.course.water.recursion import recur

Floats = NDArray[np.float64]

ADD, EXCHANGE, SET = "add", "exchange", "set"


@dataclass(frozen=True, slots=True)
class MixingStep:
    """One step as entered.

    ``amount`` (row's unit times litres) added to a row, a row set to ``amount``, or ``amount``
    litres exchanged for water of the concentrations ``new``.
    """

    hour: int
    kind: str
    amount: float
    row: int = 0
    new: Floats | None = None


@dataclass(slots=True)
class Mixing:
    """Rows of concentrations of one body; arrays have shape (rows, strata, hours).

    Args:
        names: what each row is.
        volume_l: volume in each stratum [L].
        start: concentrations before the first step, shape (rows, strata).
        hours: length of the course [h].

    ``retained`` is the share left after an hour and ``made`` what is gained in it; both act between
    hours and are 1 and 0 until set.
    """

    names: tuple[str, ...]
    volume_l: Floats
    start: Floats
    hours: int
    retained: Floats | None = None
    made: Floats | None = None
    log: list[MixingStep] = field(default_factory=list)
    keep: Floats | None = None
    gain: Floats | None = None

    @property
    def shape(self) -> tuple[int, int, int]:
        """Rows, strata, hours."""
        return len(self.names), self.volume_l.size, self.hours

    def add(self, hour: int, row: int, amount: float) -> None:
        """Add ``amount`` (mass in the row's unit times litres) at the start of an hour."""
        self.log.append(MixingStep(hour, ADD, amount, row))

    def exchange(self, hour: int, litres: float, new: Floats) -> None:
        """Take ``litres`` out and put new water in; rows where ``new`` is NaN do not change."""
        self.log.append(MixingStep(hour, EXCHANGE, litres, new=new))

    def set(self, hour: int, row: int, value: float) -> None:
        """Set a row to a measured value."""
        self.log.append(MixingStep(hour, SET, value, row))

    def composed(self) -> tuple[Floats, Floats]:
        """Return (keep, gain) of each hour's steps, composed in order."""
        if self.keep is None or self.gain is None:
            keep, gain = np.ones(self.shape), np.zeros(self.shape)
            keep[:, :, 0] = 0.0
            gain[:, :, 0] = self.start
            for kind, steps in _in_rounds(self.log):
                _apply(kind, steps, keep, gain, self.volume_l)
            self.keep, self.gain = keep, gain
        return self.keep, self.gain

    def rates(self) -> tuple[Floats, Floats]:
        """Return (share that stays, what is made) of each hour; 1 and 0 where not set."""
        retained = np.ones(self.shape) if self.retained is None else self.retained
        made = np.zeros(self.shape) if self.made is None else self.made
        return retained, made

    def solve(self, rows: Sequence[int] | None = None) -> Floats:
        """Return the concentrations at the start of each hour, after its steps."""
        pick = slice(None) if rows is None else list(rows)
        keep, gain = (part[pick] for part in self.composed())
        if self.made is not None:
            gain = gain.copy()
            gain[:, :, 1:] += keep[:, :, 1:] * self.made[pick][:, :, :-1]
        if self.retained is not None:
            keep = keep.copy()
            keep[:, :, 1:] *= self.retained[pick][:, :, :-1]
        return recur(keep, gain)


def _in_rounds(log: Sequence[MixingStep]) -> Iterator[tuple[str, list[MixingStep]]]:
    """Yield (kind, steps) so that steps of one hour keep their order.

    Within a round there is one kind and at most one exchange or setting of a row an hour;
    additions commute and share a round.
    """
    rounds: dict[tuple[int, str], list[MixingStep]] = {}
    last: dict[int, tuple[int, str]] = {}
    for step in log:
        number, kind = last.get(step.hour, (0, ""))
        if kind and not (kind == ADD and step.kind == ADD):
            number += 1
        last[step.hour] = (number, step.kind)
        rounds.setdefault((number, step.kind), []).append(step)
    for number, kind in sorted(rounds):
        yield kind, rounds[number, kind]


def _apply(
    kind: str, steps: Sequence[MixingStep], keep: Floats, gain: Floats, volume_l: Floats
) -> None:
    hours = np.array([step.hour for step in steps])
    amounts = np.array([step.amount for step in steps])
    if kind == EXCHANGE:
        new = np.array([step.new for step in steps]).T
        matched = np.isnan(new)
        share = np.minimum(1.0, amounts / volume_l[:, None])
        left = 1 - share * ~matched[:, None, :]
        keep[:, :, hours] *= left
        gain[:, :, hours] = (
            gain[:, :, hours] * left + (1 - left) * np.where(matched, 0.0, new)[:, None, :]
        )
        return
    rows = np.array([step.row for step in steps])
    if kind == ADD:
        np.add.at(gain.transpose(0, 2, 1), (rows, hours), amounts[:, None] / volume_l)
        return
    keep[rows, :, hours] = 0.0
    gain[rows, :, hours] = amounts[:, None]
