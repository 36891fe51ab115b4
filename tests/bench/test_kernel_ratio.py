"""Ratios to other simulators: the middle round of each, the hardest of each kind first."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

import pytest

from tankside.bench import kernel, kernel_ratio
from tankside.bench.kernel_models import Model
from tankside.bench.kernel_peers import PeerTime


def peers(exact_s: float) -> list[PeerTime]:
    return [
        PeerTime("slow and exact", "exact", 3 * exact_s, 1, ""),
        PeerTime("exact", "exact", exact_s, 2, ""),
        PeerTime("leap", "approximate", exact_s / 10, 3, ""),
    ]


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let ours take 1 ms a history and the others a different time each round."""
    now = [0.0]

    def job(frozen: Model, histories: int) -> tuple[Callable[[], None], float]:
        del frozen

        def run() -> None:
            now[0] += histories / 1000

        return run, 1.0

    rounds: Iterator[float] = iter((2.0, 9.0, 4.0, 20.0, 10.0, 30.0))
    monkeypatch.setattr(kernel_ratio, "job", job)
    monkeypatch.setattr(time, "process_time", lambda: now[0])
    monkeypatch.setattr(kernel_ratio, "measure", lambda name, seconds: peers(next(rounds)))


@pytest.mark.usefixtures("clock")
def test_the_middle_round_of_the_fastest_of_each_kind_counts() -> None:
    figures = {f["name"]: f for f in kernel._peer_figures(50, 1.0)}
    named = {"ratio_exact_peer": 4000, "ratio_approximate_peer": 400}
    named |= {"ratio_exact_peer B": 20000, "ratio_approximate_peer B": 2000}
    for name, ratio in named.items():
        assert figures[name]["value"] == pytest.approx(ratio)
    assert figures["ratio_exact_peer"]["reference"] == "exact"
    assert figures["peer_s_per_history A slow and exact"]["value"] == 12.0


def test_without_the_simulators_the_ratio_is_not_measured(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kernel_ratio, "measure", lambda name, seconds: [])
    figures = {f["name"]: f for f in kernel._peer_figures(8, 1.0)}
    assert figures["ratio_exact_peer"]["value"] is None
    assert figures["ratio_exact_peer"]["reference"] == kernel.ABSENT
