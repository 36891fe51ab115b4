"""How far the loop's means are from a reference's, in standard errors and in parts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside import lifecycle
from tankside.bench.kernel_models import Model

OUTPUTS = ("on fish", "bottom", "swimmers", "fish alive", "nothing left")
LOT = 20_000


def loop(
    model: Model, histories: int, *, seed: int = 5, days: tuple[int, ...] = ()
) -> NDArray[np.float64]:
    """Return (histories, moments, 5) of the loop on a model, in the order of ``OUTPUTS``.

    Moments are the ends of the days asked for, or day 0 and the end of every day.
    """
    compiled = model.compiled()
    rows = []
    for lot in range(0, histories, LOT):
        number = min(LOT, histories - lot)
        draws = lifecycle.draw(model.organism, number, 1, fixed=True)
        histories_run = lifecycle.run(
            compiled,
            model.start,
            draws,
            number,
            seed + lot,
            record_h=tuple(24 * day for day in days),
        )
        on_fish, alive = histories_run.burden.sum(axis=2), histories_run.alive.sum(axis=2)
        rows.append(
            np.stack(
                [on_fish, histories_run.bottom, histories_run.swimmers, alive, histories_run.clear],
                -1,
            )
        )
    return np.concatenate(rows)


@dataclass(frozen=True)
class Difference:
    """Means of the loop less those of the reference, by moment and output."""

    mean: NDArray[np.float64]
    bias: NDArray[np.float64]
    error: NDArray[np.float64]

    @property
    def in_errors(self) -> NDArray[np.float64]:
        """Return bias over joint standard error; 0 where nothing varies and nothing differs."""
        same = np.where(self.bias == 0, 0.0, np.inf)
        return np.where(self.error > 0, self.bias / np.where(self.error > 0, self.error, 1.0), same)

    def parts(self, sure: float) -> NDArray[np.float64]:
        """Return bias over mean where four standard errors are below ``sure`` of the mean."""
        precise = (self.mean > 0) & (4 * self.error < sure * self.mean)
        return (self.bias / np.where(self.mean > 0, self.mean, 1.0))[precise]

    def worst(self) -> str:
        """Say where the difference is largest in standard errors."""
        z = self.in_errors
        row, output = np.unravel_index(np.argmax(np.abs(z)), z.shape)
        return f"moment {row}, {OUTPUTS[output]}: {z[row, output]:.1f} standard errors"


def difference(ours: NDArray[np.float64], reference: NDArray[np.float64]) -> Difference:
    """Compare two sets of histories, each (histories, moments, outputs)."""
    error = np.sqrt(ours.var(axis=0) / len(ours) + reference.var(axis=0) / len(reference))
    mean = reference.mean(axis=0)
    return Difference(mean, ours.mean(axis=0) - mean, error)
