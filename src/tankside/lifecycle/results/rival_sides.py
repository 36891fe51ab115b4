"""Which side of contradicting papers each history is on, and shares on which the sides agree."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tankside.claims import Claim, setting
from tankside.claims.organism import Organism
from tankside.lifecycle.inputs.claim_sampling import choices_of, is_drawn_together
from tankside.lifecycle.inputs.types import Draws, Flags, Floats
from tankside.lifecycle.results.of_twenty import TWENTY, OfTwenty
from tankside.lifecycle.results.weighted import Chances, effective, share

READING = "reading."
"""Columns of rows drawn together that say how a number in print was read."""
FEWEST = setting(10.0, "runs of a side from which more than 19 of 20 could be said at all")
HALF = setting(0.5, "a column of readings holds 0 or 1")


@dataclass(frozen=True, slots=True)
class RivalSide:
    """The histories that take one of several claims that contradict each other.

    Args:
        name: of the reading; "" for a claim.
        claim: the claim taken; None for a reading.
        rows: for each history whether it takes this side.
    """

    name: str
    claim: Claim | None
    rows: Flags


def rival_sides(
    organism: Organism, draws: Draws, histories: int
) -> Mapping[str, tuple[RivalSide, ...]]:
    """Return the sides of each key with weighted rivals, and of the readings of a number.

    Args:
        organism: with its rivals.
        draws: as played.
        histories: how many of its rows were played.
    """
    sides: dict[str, tuple[RivalSide, ...]] = {}
    for key in organism.claims:
        among = choices_of(organism, key)
        if len(among) > 1 and key in draws.keys:
            values = draws.column(key)[:histories]
            sides[key] = tuple(RivalSide("", claim, _taken(claim, values)) for claim in among)
    readings = _readings(organism, draws, histories)
    return sides | ({READING.rstrip("."): readings} if len(readings) > 1 else {})


def _taken(claim: Claim, values: Chances) -> Flags:
    low, high = claim.bounds()
    taken: Flags = (values >= low) & (values <= high)
    return taken


def _readings(organism: Organism, draws: Draws, histories: int) -> tuple[RivalSide, ...]:
    """Return the sides of the readings, told by the row that each history took."""
    table = organism.together
    if table is None:
        return ()
    joint = [k for k in table.keys if k in draws.keys and is_drawn_together(organism, k)]
    places = [table.keys.index(key) for key in joint]
    columns = [place for place, key in enumerate(table.keys) if key.startswith(READING)]
    if not joint or not columns:
        return ()
    which = {tuple(row[p] for p in places): [row[c] for c in columns] for row in table.rows}
    taken = zip(*(draws.column(key)[:histories].tolist() for key in joint), strict=True)
    flags = np.asarray([which.get(row, [0.0] * len(columns)) for row in taken]) > HALF
    names = [table.keys[c].removeprefix(READING) for c in columns]
    return tuple(RivalSide(name, None, flags[:, k]) for k, name in enumerate(names))


def sides_together(
    parts: Sequence[Mapping[str, tuple[RivalSide, ...]]],
) -> Mapping[str, tuple[RivalSide, ...]]:
    """Return the sides of several runs of one organism as those of one, the runs in order."""
    return {
        key: tuple(
            replace(side, rows=np.concatenate([part[key][number].rows for part in parts]))
            for number, side in enumerate(among)
        )
        for key, among in (parts[0] if parts else {}).items()
    }


def agreed_share(
    holds: Chances, weights: Floats, sides: Mapping[str, tuple[RivalSide, ...]]
) -> OfTwenty:
    """Return the share of histories, "more than 19 of 20" only where every side says so.

    Args:
        holds: for each history whether it holds, or the chance that it does.
        weights: of the histories.
        sides: from :func:`rival_sides`.
    """
    whole = share(holds, weights)
    most = (TWENTY - 1) / TWENTY
    if whole.share <= most:
        return whole
    for among in sides.values():
        for side in among:
            here = weights * side.rows
            if effective(here) >= FEWEST and share(holds, here).share <= most:
                return replace(whole, share=float(most))
    return whole
