"""How fast the differential answers, and how it compares with a general Bayesian library."""

from __future__ import annotations

import importlib.util
import time
from collections.abc import Callable, Sequence

import numpy as np

from tankside.bench.vignettes import Vignette
from tankside.diagnose import Evidence, Tables, bands, look_next, rank
from tankside.quantity.per import MS_PER_S

REPEATS = 20
REDRAWS = 500


def measure(tables: Tables, cases: Sequence[Vignette]) -> dict[str, float | None]:
    """Time a ranking, the look-next over all findings and the bands on the cases given.

    Args:
        tables: compiled knowledge.
        cases: the cases; the one with most findings is the hardest.

    Returns:
        Medians; ``ratio_peer`` is None when the reference library is not installed.
    """
    evidence = [case.evidence for case in cases]
    ranking_s = _median(lambda: [rank(tables, e) for e in evidence]) / len(evidence)
    empty = rank(tables, Evidence({}))
    fullest = rank(tables, max(evidence, key=lambda e: len(e.answers)))
    chance = np.random.default_rng(0)
    times: dict[str, float | None] = {
        "rank_ms": ranking_s * MS_PER_S,
        "look_next_ms": _median(lambda: look_next(empty)) * MS_PER_S,
        "bands_500_s": _median(lambda: bands(fullest, chance, REDRAWS), repeats=3),
        "ratio_peer": None,
    }
    if importlib.util.find_spec("pyagrum") is not None:
        from tankside.bench.rank_peer import ratio

        times["ratio_peer"] = ratio(tables)
    return times


def _median(work: Callable[[], object], repeats: int = REPEATS) -> float:
    """Return the median seconds of a piece of work after one warm-up."""
    work()
    taken = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return float(np.median(taken))
