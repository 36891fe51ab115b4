"""How several causes produce one finding together.

Rows of a cell table are causes, then the healthy fish; the last row is the leak: what a presented
fish shows besides its cause (mostly what healthy fish show, a little of unlisted trouble). Every
row already contains the leak, so combining divides it out once. ``members`` lists the
causes of each hypothesis as row numbers, filled up with the leak's row.

Sources: Diez 1993 (generalized noisy-OR), Pradhan et al. 1994 (noisy-MAX with leak).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tankside.claims.diagnosis import LikelihoodLaw

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]


def combined(law: LikelihoodLaw, cells: Floats, members: Rows, baseline: int = 0) -> Floats:
    """Return how often each hypothesis gives each answer.

    Args:
        law: law of the finding (not gated: see ``spots``).
        cells: chances, shape (..., rows, answers), answers of graded findings from mild to grave.
        members: rows present in each hypothesis, shape (hypotheses, k).
        baseline: position of the baseline answer (shared signs).

    Returns:
        Chances, shape (..., hypotheses, answers).
    """
    if law is LikelihoodLaw.SHARED:
        return _shared(cells, members, baseline)
    return _LAWS[law](cells, members)


def _noisy_max(cells: Floats, members: Rows) -> Floats:
    """F(a | S) = F(a | leak) * product over causes of min(1, F(a | cause) / F(a | leak)).

    A row that stands alone shows its own figures: a healthy fish may be better than the leak.
    """
    reach = np.cumsum(cells, axis=-1)
    leak = reach[..., -1:, :]
    ratio = np.minimum(1, reach / leak)
    together = leak * ratio[..., members[:, 0], :]
    for k in range(1, members.shape[1]):
        together = together * ratio[..., members[:, k], :]
    alone = (members != cells.shape[-2] - 1).sum(axis=1) == 1
    together[..., alone, :] = reach[..., members[alone, 0], :]
    together = np.maximum.accumulate(together, axis=-1)  # a product need not rise everywhere
    first = together[..., :1]
    chance = np.concatenate([first, np.diff(together, axis=-1)], axis=-1)
    return np.asarray(np.maximum(chance, np.finfo(float).tiny))


def _course(cells: Floats, members: Rows) -> Floats:
    """Equal mixture of the causes present; the leak alone when there is none."""
    weight = _present(members, cells.shape[-2] - 1)
    weight = weight / weight.sum(axis=1, keepdims=True)
    together = weight[:, :1] * cells[..., members[:, 0], :]
    for k in range(1, members.shape[1]):
        together = together + weight[:, k : k + 1] * cells[..., members[:, k], :]
    return np.asarray(together)


def _shared(cells: Floats, members: Rows, baseline: int) -> Floats:
    """Baseline by noisy-OR; the rest shared in proportion to what each cause brings."""
    healthy = cells[..., baseline]
    leak = healthy[..., -1:]
    ratio = healthy / leak
    still = leak * ratio[..., members[:, 0]]
    most = healthy[..., members[:, 0]]
    weight = _present(members, cells.shape[-2] - 1)
    brought = weight[:, 0] * (1 - healthy[..., members[:, 0]])
    profile = weight[:, :1] * cells[..., members[:, 0], :]
    for k in range(1, members.shape[1]):
        row = members[:, k]
        still = still * ratio[..., row]
        most = np.where(weight[:, k] > 0, np.maximum(most, healthy[..., row]), most)
        brought = brought + weight[:, k] * (1 - healthy[..., row])
        profile = profile + weight[:, k : k + 1] * cells[..., row, :]
    still = np.minimum(still, most)
    together = profile * ((1 - still) / brought)[..., None]
    together[..., baseline] = still
    return np.asarray(together)


def _context(cells: Floats, members: Rows) -> Floats:
    """Normalised product of the leak and each cause's ratio to it (used only to predict)."""
    ratio = cells / cells[..., -1:, :]
    together = cells[..., -1:, :] * ratio[..., members[:, 0], :]
    for k in range(1, members.shape[1]):
        together = together * ratio[..., members[:, k], :]
    return np.asarray(together / together.sum(axis=-1, keepdims=True))


def _present(members: Rows, leak_row: int) -> Floats:
    """1 for each cause present; the leak stands in where there is none."""
    weight = (members != leak_row).astype(float)
    weight[:, 0] = np.where(weight.sum(axis=1) == 0, 1, weight[:, 0])
    return np.asarray(weight)


_LAWS: dict[LikelihoodLaw, Callable[[Floats, Rows], Floats]] = {
    LikelihoodLaw.NOISY_OR: _noisy_max,
    LikelihoodLaw.NOISY_MAX: _noisy_max,
    LikelihoodLaw.COURSE: _course,
    LikelihoodLaw.CONTEXT: _context,
}


def responsibility(visible: Floats, members: Rows) -> Floats:
    """Return the chance that each cause present is the one responsible for the spots.

    In proportion to what the cause adds above the leak; equal shares when none adds anything;
    the leak itself when no cause is present.

    Args:
        visible: chance that spots are visible, shape (..., rows).
        members: rows present, shape (hypotheses, k).
    """
    present = _present(members, visible.shape[-1] - 1)
    above = np.maximum(0, visible - visible[..., -1:])[..., members] * present
    total = above.sum(axis=-1, keepdims=True)
    even = present / present.sum(axis=1, keepdims=True)
    return np.where(total > 0, above / np.where(total > 0, total, 1), even)
