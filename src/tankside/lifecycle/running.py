"""Run many random histories of one organism under one course."""

from __future__ import annotations

from tankside.claims.organism import Organism
from tankside.course.tank_hours import TankHours
from tankside.lifecycle.compiling import Compiled
from tankside.lifecycle.types import Draws, Histories, StartState


def run(
    compiled: Compiled,
    start: StartState,
    draws: Draws,
    histories: int,
    seed: int,
    *,
    record_h: tuple[int, ...] = (),
    threads: int = 2,
) -> Histories:
    """Run random histories of a compiled organism.

    The same seed and number of histories give the same luck under every course (common random
    numbers), and the same bytes for any number of threads.

    Args:
        compiled: from :func:`tankside.lifecycle.compile`.
        start: what is believed to be there at hour 0.
        draws: claim values per history, from :func:`tankside.lifecycle.draw`.
        histories: how many; at most the rows of ``draws``.
        seed: names the streams of chance.
        record_h: hours at which to look; empty means every 24 h from hour 0 to the end.
        threads: worker threads; does not change the result.

    Returns:
        Histories, one row per history.
    """
    raise NotImplementedError


__all__ = ["Organism", "TankHours", "run"]
