"""The table of rows drawn together: from the scores of each reading to the file beside the plan."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from io import StringIO

import numpy as np

from tankside.bench.spread_model import Floats, GenerationModel, RowOfModel
from tankside.claims import setting, whole_setting
from tankside.library.spread_files import DerivedClaim, PrintedRow

ROWS = whole_setting(1024, "rows of a table: a forecast of some thousands uses each some times")
MIDDLING_L = setting(3.0, "litres per 5 g fish at which rows are ordered by their spread")
PICK_SEED = whole_setting(5, "picks the rows of the table from the draws")
READING = "reading."
DIGITS = ".4g"


def table(model: GenerationModel, scores: Mapping[str, Floats], rows: int = ROWS) -> str:
    """Return the table as text, each reading with its weight, ordered by reproduction.

    Args:
        model: the plan's model.
        scores: draws of each reading.
        rows: of the table.
    """
    chance = np.random.default_rng(PICK_SEED)
    claims = [q for q in model.plan.quantities if q.claim]
    names = [q.claim for q in claims] + [d.claim for d in model.plan.derived]
    names += [READING + reading.name for reading in model.plan.readings]
    blocks = []
    left = rows
    for number, reading in enumerate(model.plan.readings):
        last = number == len(model.plan.readings) - 1
        size = left if last else round(rows * reading.weight)
        left -= size
        picked = scores[reading.name]
        picked = picked[chance.choice(len(picked), size, replace=size > len(picked))]
        values = model.values(picked)
        columns = [values[q.name] for q in claims]
        columns += [
            derived_values(model, values, each, reading.name, chance) for each in model.plan.derived
        ]
        columns += [np.full(size, float(r is reading)) for r in model.plan.readings]
        columns.append(model.reproduction(values, MIDDLING_L))
        blocks.append(np.column_stack(columns))
    every = np.concatenate(blocks)
    every = every[np.argsort(every[:, -1], kind="stable")][:, :-1]
    text = StringIO()
    lines = csv.writer(text, lineterminator="\n")
    lines.writerow(names)
    lines.writerows([[format(value, DIGITS) for value in row] for row in every])
    return text.getvalue()


def derived_values(
    model: GenerationModel,
    values: dict[str, Floats],
    derived: DerivedClaim,
    reading: str,
    chance: np.random.Generator,
) -> Floats:
    """Return the burden that a number per fish in print stands for, under a reading."""
    size = len(values["young"])
    dose = chance.uniform(derived.low, derived.high, size)
    row = PrintedRow(derived.like, derived.says, "burden", begin="challenge")
    paper = model.experiments[derived.like]
    met = values | {f"{paper.source}.dose": dose}
    return np.asarray(RowOfModel(paper, row, met, model.law).burden(reading))
