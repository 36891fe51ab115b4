"""Give each history its own claim values: scrambled Sobol over ranges and rival claims."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tankside.claims import Claim, setting
from tankside.claims.organism import Organism
from tankside.lifecycle.inputs.sobol import sobol
from tankside.lifecycle.inputs.types import Draws, Floats

WIDE = setting(4.0, "a range wider than this ratio is sampled on a logarithmic scale")
LOOKING = "seen."
"""Claims of what a person sees: they move counts, not the parasite."""
WATER_KEYS = ("water.in_bracket", "action.share_in_range")


def draw(organism: Organism, histories: int, seed: int, *, fixed: bool = False) -> Draws:
    """Draw the claim values of an organism for every history.

    Every numeric claim with a range, and every claim with weighted rivals, is one dimension of
    a scrambled Sobol sequence; claims that are only believed together share one, which picks a
    row of the organism's table. What a person sees is handed on even where it has no range, since
    a count is read against it. A claim is uniform over its range, or log-uniform when it says
    ``scale = "log"`` or is wider than a factor of four. Rivals are chosen by their weights.

    Args:
        organism: claims with low and high, and rivals with weights.
        histories: rows wanted.
        seed: of the scrambling.
        fixed: give every history the default values instead.

    Returns:
        Draws with equal weights.
    """
    choices = {key: choices_of(organism, key) for key in sorted(organism.claims)}
    varied = [key for key, among in choices.items() if among and varies(among)]
    joint = [key for key in varied if is_drawn_together(organism, key)]
    varied = [key for key in varied if key not in joint]
    keys = (*varied, *WATER_KEYS, *joint)
    if fixed:
        middle = [organism.claims[key].number() for key in varied] + [1 / 2] * len(WATER_KEYS)
        middle += [organism.claims[key].number() for key in joint]
        values = np.tile(np.asarray(middle), (histories, 1))
    else:
        alone = len(varied) + len(WATER_KEYS)
        uniform = sobol(alone + 1, histories, seed)
        columns = [_spread(uniform[:, j], choices[key]) for j, key in enumerate(varied)]
        rows = _rows_together(organism, joint, uniform[:, alone])
        values = np.column_stack([*columns, *uniform[:, len(varied) : alone].T, *rows.T])
    seen = {k: among[0].number() for k, among in choices.items() if _held(k, among)}
    held = np.tile(np.asarray([*seen.values()], dtype=np.float64), (histories, 1))
    every = np.column_stack([values, held])
    return Draws((*keys, *seen), every, np.full(histories, 1 / histories), seed)


def is_drawn_together(organism: Organism, key: str) -> bool:
    """Return whether a claim is drawn from the organism's table of rows, with others."""
    table = organism.together
    conditions = organism.claims[key].conditions
    return table is not None and key in table.keys and conditions.get("drawn") == "together"


def _rows_together(organism: Organism, keys: Sequence[str], uniform: Floats) -> Floats:
    """Return the values of claims that hang together: whole rows, picked evenly."""
    table = organism.together
    if table is None or not keys:
        return np.empty((uniform.size, 0))
    every = np.asarray(table.rows)
    row = np.minimum((uniform * len(every)).astype(np.int64), len(every) - 1)
    return np.asarray(every[row][:, [table.keys.index(key) for key in keys]])


def _held(key: str, among: Sequence[Claim]) -> bool:
    """Whether a claim of what a person sees is the same in every history: it has no range."""
    return bool(among) and key.startswith(LOOKING) and not varies(among)


def choices_of(organism: Organism, key: str) -> tuple[Claim, ...]:
    """Return the numeric claims a history may use under one key."""
    claim = organism.claims[key]
    rivals = tuple(c for c in organism.rivals.get(key, ()) if "weight" in c.conditions)
    among = (claim, *rivals) if "weight" in claim.conditions else (claim,)
    return tuple(c for c in among if isinstance(c.value, int | float))


def varies(among: Sequence[Claim]) -> bool:
    """Return whether these claims of one key give histories different values."""
    if len(among) > 1:
        return True
    low, high = among[0].bounds()
    return low < high


def is_logarithmic(claim: Claim) -> bool:
    """Return whether a claim is spread evenly by ratio: it says so, or its range is wide."""
    low, high = claim.bounds()
    return low > 0 and (claim.conditions.get("scale") == "log" or high / low > WIDE)


def _spread(uniform: Floats, among: Sequence[Claim]) -> Floats:
    """Turn uniform numbers into values of one key."""
    weights = np.asarray([float(c.conditions.get("weight", "1")) for c in among])
    edges = np.concatenate([[0.0], np.cumsum(weights / weights.sum())])
    which = np.clip(np.searchsorted(edges, uniform, side="right") - 1, 0, len(among) - 1)
    values = np.empty_like(uniform)
    for k, claim in enumerate(among):
        rows = which == k
        within = (uniform[rows] - edges[k]) / (edges[k + 1] - edges[k])
        values[rows] = _within(claim, within)
    return values


def _within(claim: Claim, uniform: Floats) -> Floats:
    low, high = claim.bounds()
    if low >= high:
        return np.full_like(uniform, claim.number())
    if is_logarithmic(claim):
        return np.asarray(low * (high / low) ** uniform)
    return np.asarray(low + (high - low) * uniform)
