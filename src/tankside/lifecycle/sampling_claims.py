"""Give each history its own claim values: scrambled Sobol over ranges and rival claims."""

from __future__ import annotations

from tankside.claims.organism import Organism
from tankside.lifecycle.types import Draws


def draw(organism: Organism, histories: int, seed: int, *, fixed: bool = False) -> Draws:
    """Draw the claim values of an organism for every history.

    Args:
        organism: claims with low and high, and rivals with weights.
        histories: rows wanted.
        seed: of the scrambling.
        fixed: give every history the default values instead.
    """
    raise NotImplementedError
