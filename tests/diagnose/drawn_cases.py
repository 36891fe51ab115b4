"""Cases drawn from the tables with perturbed cells: a truth, and the answers it would give.

The perturbed tables stand for the world, the shipped ones for what is believed of it: every cell
of every drawn case is redrawn inside its recorded range.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims.diagnosis import LikelihoodLaw
from tankside.diagnose import NONE, OUTSIDE, Tables
from tankside.diagnose.combine import combined

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Drawn:
    """A truth and what every question would be answered."""

    truth: frozenset[str]
    answers: dict[str, str]


def perturbed(tables: Tables, name: str, rng: np.random.Generator) -> Floats:
    """Return one table with each cell redrawn inside its range, rows summing to 1."""
    cells = tables.cells[name]
    low, high = np.minimum(cells.low, cells.chance), np.maximum(cells.high, cells.chance)
    drawn = rng.triangular(low, cells.chance, np.maximum(high, low + 1e-9))
    drawn = np.maximum(drawn, tables.facts.number("least_chance"))
    drawn /= drawn.sum(axis=-1, keepdims=True)
    for follower, followed in sorted(cells.silent.items(), reverse=True):
        drawn[follower] = drawn[followed]
    return np.asarray(drawn)


def draw(tables: Tables, rng: np.random.Generator) -> Drawn:
    """Draw one case: a set of causes by the priors, then all answers, worlds redrawn."""
    space = tables.space
    chance = np.exp(space.log_prior)
    number = int(rng.choice(len(chance), p=chance / chance.sum()))
    members = space.members[[number]]
    answers: dict[str, str] = {}
    for finding in tables.facts.findings.values():
        if finding.law is LikelihoodLaw.ODDS:
            continue
        if finding.gate and answers.get(finding.gate_finding) != finding.gate_answer:
            continue
        cells = perturbed(tables, finding.id, rng)
        if finding.law is LikelihoodLaw.GATED:
            share = space.responsible[number]
            row = int(members[0][int(rng.choice(len(share), p=share / share.sum()))])
            p = cells[row]
        else:
            baseline = finding.answers.index(finding.baseline_answer)
            p = combined(finding.law, cells, members, baseline)[0]
        p = np.maximum(p, 0)
        answers[finding.id] = finding.answers[int(rng.choice(len(p), p=p / p.sum()))]
    return Drawn(truth_of(tables, number), answers)


def truth_of(tables: Tables, number: int) -> frozenset[str]:
    """Return the rows of the ranking that are true in a hypothesis."""
    names = [tables.ids[r] for r in tables.space.members[number] if r < len(tables.ids)]
    outside = {n for n, c in tables.facts.conditions.items() if c.outside}
    return frozenset(OUTSIDE if name in outside else name for name in names) or frozenset((NONE,))
