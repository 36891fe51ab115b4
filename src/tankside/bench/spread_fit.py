"""Draw the open quantities of a spread plan from all its printed rows together.

Many chains move at once, each by the difference of two others of the other half (differential
evolution, ter Braak 2006), over a random part of the scores. Starting from the range before the
experiments, the first part of the steps is thrown away.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from tankside.bench.spread_model import (
    Floats,
    GenerationModel,
    Prints,
    as_printed,
    share_dead,
)
from tankside.claims import setting, whole_setting
from tankside.library.spread_files import PrintedRow

EDGES = (setting(0.05, "1 in 20 below"), setting(0.95, "1 in 20 above"))
USUAL_JUMP = setting(2.38, "factor of the jump at which such chains mix best, by root 2 d")
SPLIT = setting(0.05, "scatter added to a jump, so that chains never lie on a line")
WHOLE_JUMP = setting(0.1, "share of the moves that jump the whole difference")
PARTS = (
    setting(0.06, "share of the scores in a small move"),
    setting(0.25, "in a middling one"),
    setting(0.7, "in a large one"),
)


@dataclass(frozen=True, slots=True)
class DrawEffort:
    """How long to draw.

    Args:
        chains: that move together.
        steps: of each.
        dropped: share of the steps thrown away.
        every: steps between the scores that are kept.
        seed: of the chance.
    """

    chains: int = whole_setting(192, "several times the number of scores")
    steps: int = whole_setting(3000, "medians of two runs then agree within a tenth")
    dropped: float = setting(0.5, "half, by which time all chains lie where the rows lead")
    every: int = whole_setting(50, "neighbours are then hardly alike")
    seed: int = 1


def drawn(
    model: GenerationModel,
    reading: str,
    prints: Prints | None = None,
    effort: DrawEffort | None = None,
) -> Floats:
    """Return normal scores that meet printed rows, shape (n, names).

    Args:
        model: quantities and likelihood.
        reading: of the numbers per fish.
        prints: rows to meet with what they printed; None for all of the plan.
        effort: how long.
    """
    printed = prints_of(model.plan.rows) if prints is None else prints
    scores: Floats = drawn_apart(model, reading, printed, effort or DrawEffort(), 1)[0]
    return scores


def prints_of(rows: Iterable[PrintedRow]) -> Prints:
    """Return rows with what they printed."""
    return [(row, as_printed(row)) for row in rows]


def drawn_apart(
    model: GenerationModel, reading: str, prints: Prints, effort: DrawEffort, sets: int
) -> Floats:
    """Draw for several sets of prints at once, each with chains of its own.

    Args:
        model: quantities and likelihood.
        reading: of the numbers per fish.
        prints: rows; what each printed is one number, or an array of shape (sets, 1).
        effort: chains and steps of each set.
        sets: how many.

    Returns:
        Scores, shape (sets, n, names).
    """
    chance = np.random.default_rng(effort.seed)
    half, names = effort.chains // 2, len(model.names)
    spread_out = [
        (row, np.repeat(p, half, axis=1).ravel() if p.ndim == 2 else p) for row, p in prints
    ]

    def weigh(of: Floats) -> Floats:
        flat = of.reshape(-1, names)
        weighed = model.log_prior(flat) + model.log_likelihood(flat, reading, spread_out)
        return np.asarray(weighed.reshape(sets, half))

    sides = [chance.normal(size=(sets, half, names)) for _ in range(2)]
    logs = [weigh(side) for side in sides]
    kept: list[Floats] = []
    for step in range(effort.steps):
        for mine in (0, 1):
            new = _jump(sides[mine], sides[1 - mine], chance)
            log = weigh(new)
            taken = np.log(chance.random(log.shape)) < log - logs[mine]
            sides[mine] = np.where(taken[..., np.newaxis], new, sides[mine])
            logs[mine] = np.where(taken, log, logs[mine])
        if step >= effort.dropped * effort.steps and step % effort.every == 0:
            kept += sides
    return np.concatenate(kept, axis=1)


def _jump(scores: Floats, others: Floats, chance: np.random.Generator) -> Floats:
    """Propose new scores: those of each chain and the difference of two others, in part."""
    sets, chains, names = scores.shape
    set_of = np.arange(sets)[:, np.newaxis]
    first = chance.integers(0, chains, (sets, chains))
    second = (first + chance.integers(1, chains, (sets, chains))) % chains
    part = chance.choice(np.asarray(PARTS), (sets, chains, 1))
    moved = chance.random(scores.shape) < part
    always = chance.integers(0, names, (sets, chains, 1))
    np.put_along_axis(moved, always, values=True, axis=2)
    size = USUAL_JUMP / np.sqrt(2 * moved.sum(axis=2, keepdims=True))
    size = np.where(chance.random((sets, chains, 1)) < WHOLE_JUMP, 1.0, size)
    difference = others[set_of, first] - others[set_of, second]
    jump = size * difference + SPLIT * chance.normal(size=scores.shape)
    proposed: Floats = np.where(moved, scores + jump, scores)
    return proposed


def printed_again(
    model: GenerationModel, scores: Floats, reading: str, chance: np.random.Generator
) -> list[Floats]:
    """Return what each row of the plan would print, drawn anew for each row of scores.

    Deaths as a count; a threshold and a measurement as the log of what would be measured.
    """
    values = model.values(scores)
    prints: list[Floats] = []
    for row in model.plan.rows:
        seen = np.broadcast_to(model.quantity(row, values, reading), (len(scores),))
        if row.of:
            prints.append(
                chance.binomial(row.of, share_dead(seen, values, model.law)).astype(np.float64)
            )
        else:
            which = chance.choice(len(row.log_sd), len(scores), p=np.asarray(row.weights))
            prints.append(seen + np.asarray(row.log_sd)[which] * chance.normal(size=len(scores)))
    return prints


def is_met(row: PrintedRow, prints: Floats) -> bool:
    """Return whether a printed row lies inside the 90 % interval of what would be printed.

    A threshold is met when the interval reaches beyond it, rivals when it holds any of them.
    """
    bottom, top = np.quantile(prints, EDGES, method="inverted_cdf")
    if row.of:
        return bool(bottom <= row.dead <= top)
    if row.above:
        return bool(top >= np.log(row.above))
    if row.below:
        return bool(bottom <= np.log(row.below))
    return any(bottom <= np.log(value) <= top for value in row.about)
