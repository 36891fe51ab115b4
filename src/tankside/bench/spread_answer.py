"""What a fit of spread says: each quantity, reproduction by volume, rows met, papers left out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from tankside import library
from tankside.bench.spread_fit import (
    EDGES,
    DrawEffort,
    drawn,
    is_met,
    printed_again,
    prints_of,
)
from tankside.bench.spread_model import Floats, GenerationModel, stay_law
from tankside.bench.spread_table import table
from tankside.claims import setting, whole_setting
from tankside.library.released import data_root
from tankside.library.spread_files import FOLDER, PrintedRow, spread_plan

LITRES = (1.0, 3.0, 10.0, 30.0, 100.0)
AGAIN_SEED = whole_setting(11, "chance of what would be printed again")
MIDDLE = setting(0.5, "middle")
SHORTER = whole_setting(1500, "steps of a fit without one paper")


@dataclass(frozen=True, slots=True)
class FittedRow:
    """One printed row and the 90 % interval of what the fit would print."""

    row: PrintedRow
    low: float
    middle: float
    high: float
    met: bool

    @property
    def printed(self) -> str:
        """What was printed, as a number with its side."""
        if self.row.of:
            return f"{self.row.dead} of {self.row.of} dead"
        if self.row.above:
            return f"above {self.row.above:g}"
        if self.row.below:
            return f"below {self.row.below:g}"
        return " or ".join(f"{value:g}" for value in self.row.about)


@dataclass(frozen=True, slots=True)
class WithoutPaper:
    """A fit without one paper: its rows foretold, and the reproduction without it."""

    source: str
    rows: tuple[FittedRow, ...]
    reproduction: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class SpreadFit:
    """The fit of one plan under each reading."""

    model: GenerationModel
    scores: dict[str, Floats]
    rows: dict[str, tuple[FittedRow, ...]]
    left_out: tuple[WithoutPaper, ...]

    def lines(self) -> list[str]:
        """Return the answer as lines of text."""
        said = [self.model.plan.organism]
        for reading in self.model.plan.readings:
            said.append(f"reading {reading.name} (weight {reading.weight:g}): {reading.says}")
            values = self.model.values(self.scores[reading.name])
            said += [f"  {q.name}: {_range(values[q.name])}" for q in self.model.plan.quantities]
            for litres in LITRES:
                reproduced = self.model.reproduction(values, litres)
                kills = values["lethal_load"] / reproduced
                said.append(
                    f"  at {litres:g} L per 5 g fish: {_range(reproduced)} mature parasites from "
                    f"each; {_range(kills)} put in for each fish kill half in one stay"
                )
            said += [_row_line(row) for row in self.rows[reading.name]]
        for left in self.left_out:
            low, middle, high = left.reproduction
            said.append(f"without {left.source}: {middle:.3g} [{low:.3g}, {high:.3g}] at 1 L")
            said += [_row_line(row) for row in left.rows]
        return said

    def as_json(self) -> dict[str, Any]:
        """Return the answer as an object of JSON."""
        return {
            "organism": self.model.plan.organism,
            "readings": [
                {
                    "name": reading.name,
                    "weight": reading.weight,
                    "quantities": self._quantities(reading.name),
                    "rows": [_row_json(row) for row in self.rows[reading.name]],
                }
                for reading in self.model.plan.readings
            ],
            "left_out": [
                {"source": left.source, "rows": [_row_json(row) for row in left.rows]}
                for left in self.left_out
            ],
        }

    def _quantities(self, reading: str) -> dict[str, tuple[float, float, float]]:
        values = self.model.values(self.scores[reading])
        return {q.name: _three(values[q.name]) for q in self.model.plan.quantities}


def fitted(
    organism: str, *, leave_out: bool = False, effort: DrawEffort | None = None
) -> SpreadFit:
    """Fit the plan of one organism under each reading.

    Args:
        organism: its id.
        leave_out: fit again without each paper, under the reading believed most.
        effort: how long to draw.
    """
    law = stay_law(library.load().organisms[organism])
    model = GenerationModel(spread_plan(data_root(), organism), law)
    readings = [reading.name for reading in model.plan.readings]
    scores = {name: drawn(model, name, effort=effort) for name in readings}
    return SpreadFit(
        model=model,
        scores=scores,
        rows={name: _fitted_rows(model, scores[name], name) for name in readings},
        left_out=_left_out(model, readings[0], effort) if leave_out else (),
    )


def write_table(fit: SpreadFit) -> None:
    """Write the table of rows drawn together beside its plan."""
    target = data_root() / FOLDER / f"{fit.model.plan.organism}.csv"
    target.write_text(table(fit.model, fit.scores), encoding="utf-8")


def _left_out(
    model: GenerationModel, reading: str, effort: DrawEffort | None
) -> tuple[WithoutPaper, ...]:
    left = []
    for source in dict.fromkeys(row.source for row in model.plan.rows):
        others = prints_of(row for row in model.plan.rows if row.source != source)
        scores = drawn(model, reading, others, effort or DrawEffort(steps=SHORTER))
        rows = _fitted_rows(model, scores, reading)
        reproduced = _three(model.reproduction(model.values(scores), LITRES[0]))
        left.append(
            WithoutPaper(source, tuple(r for r in rows if r.row.source == source), reproduced)
        )
    return tuple(left)


def _fitted_rows(model: GenerationModel, scores: Floats, reading: str) -> tuple[FittedRow, ...]:
    again = printed_again(model, scores, reading, np.random.default_rng(AGAIN_SEED))
    return tuple(
        FittedRow(row, *_three(prints if row.of else np.exp(prints)), is_met(row, prints))
        for row, prints in zip(model.plan.rows, again, strict=True)
    )


def _three(values: Floats) -> tuple[float, float, float]:
    low, middle, high = np.quantile(values, [EDGES[0], MIDDLE, EDGES[1]])
    return float(low), float(middle), float(high)


def _range(values: Floats) -> str:
    low, middle, high = _three(values)
    return f"{middle:.3g} [{low:.3g}, {high:.3g}]"


def _row_line(row: FittedRow) -> str:
    word = "met" if row.met else "NOT MET"
    return (
        f"  {word}: {row.row.source}, {row.row.says}: {row.printed}; "
        f"fit {row.middle:.3g} [{row.low:.3g}, {row.high:.3g}]"
    )


def _row_json(row: FittedRow) -> dict[str, Any]:
    return {
        "source": row.row.source,
        "says": row.row.says,
        "printed": row.printed,
        "low": row.low,
        "middle": row.middle,
        "high": row.high,
        "met": row.met,
    }
