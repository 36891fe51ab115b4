"""The tables without the ranking's laws: one cause at a time, every answer weighed alone.

The order that anyone gets who multiplies the chances in the tables with the prior of each cause
(naive Bayes): no second cause, no blocks of signs that repeat each other, no kinds of fish. What
the ranking is worth beyond its tables is the difference.
"""

from __future__ import annotations

import numpy as np

from tankside.claims.diagnosis import LikelihoodLaw
from tankside.diagnose import NONE, OUTSIDE, Evidence, Tables
from tankside.diagnose.evidence import informative
from tankside.diagnose.prior import recorded


def order_by_tables(tables: Tables, evidence: Evidence) -> tuple[str, ...]:
    """Return every row, likeliest first; causes that are not listed are one row.

    Chance of a row ~ prior share x product of P(answers | row), with P as in the tables: a cell
    that is silent is that of the leak, or of a healthy fish.

    Args:
        tables: compiled knowledge.
        evidence: the answers.

    Raises:
        BadInput: a finding or an answer is not known.
    """
    shares = tables.prior.shares(recorded(tables.facts.conditions))
    weight = np.log(shares)
    for name, mask in informative(tables.facts, evidence).items():
        cells = tables.cells[name]
        if cells.law is not LikelihoodLaw.ODDS:
            weight = weight + np.log(cells.chance[: len(shares), mask].sum(axis=1))
    chance = np.exp(weight - weight.max())
    rows: dict[str, float] = {NONE: float(chance[tables.healthy_row])}
    for row, name in enumerate(tables.ids):
        shown = OUTSIDE if tables.facts.conditions[name].outside else name
        rows[shown] = rows.get(shown, 0.0) + float(chance[row])
    return tuple(sorted(rows, key=lambda shown: (-rows[shown], shown)))
