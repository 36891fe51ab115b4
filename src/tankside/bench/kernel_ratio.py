"""Our time per history beside that of general stochastic simulators, in the same rounds."""

from __future__ import annotations

import sys
import time
from contextlib import redirect_stdout
from dataclasses import dataclass
from statistics import median

from tankside.bench.kernel_models import model
from tankside.bench.kernel_peers import PeerTime, measure
from tankside.bench.kernel_speed import job

ROUNDS = 3


@dataclass(frozen=True, slots=True)
class Ratio:
    """How many times longer one simulator takes for a history of one model.

    Args:
        model: "A" or "B".
        peer: the simulator, in the middle round.
        times: its seconds per history over ours, both on one core.
    """

    model: str
    peer: PeerTime
    times: float


def ratios(histories: int, seconds: float) -> list[Ratio]:
    """Return the middle ratio of every simulator that is installed, on models A and B.

    Args:
        histories: of ours in each round.
        seconds: processor time for the simulators in each round of each model.
    """
    by_peer: dict[tuple[str, str], list[Ratio]] = {}
    for name in ("A", "B"):
        play, _ = job(model(name), histories)
        for _ in range(ROUNDS):
            begin = time.process_time()
            play()
            ours = (time.process_time() - begin) / histories
            with redirect_stdout(sys.stderr):
                peers = measure(name, seconds)
            if not peers:
                return []
            for peer in peers:
                ratio = Ratio(name, peer, peer.seconds_per_history / ours)
                by_peer.setdefault((name, peer.name), []).append(ratio)
    return [_middle(rows) for rows in by_peer.values()]


def _middle(rows: list[Ratio]) -> Ratio:
    middle = median(row.times for row in rows)
    return min(rows, key=lambda row: abs(row.times - middle))
