"""The loop against general stochastic simulators: COPASI and libRoadRunner, of the slow tier.

Both play a reaction network, one reaction at a time, written apart from the loop. Treated water is
constant within a window, so that neither meets a timed event or a decaying concentration, where
both are known to be wrong. COPASI works out its dependencies anew in every window; on the demo-size
treated model, with 720 windows, it is too slow to be of use and libRoadRunner stands alone.
"""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.lifecycle.agreement import Difference, loop

from tankside.bench import kernel_peers
from tankside.bench.kernel_models import Model, model
from tankside.bench.kernel_network import (
    Reaction,
    Window,
    network_of,
    sbml,
    thinned,
    totals,
    warmed_by_rule,
    whole,
    windows_of,
)
from tankside.course.bodies.tank_hours import Stratum

DIRECT, NEXT, ADAPTIVE, ROADRUNNER = kernel_peers.PEERS
FIGURES = {
    "cyst.offspring": 20.0,
    "swimmer.search_l_per_h": 0.005,
    "host.lethal_burden": 15.0,
}


def small(name: str) -> Model:
    """Return a frozen model cut down: three fish, level warmth, twenty young, kill by half-days."""
    frozen = model(name, days=10)
    claims = {
        key: replace(claim, value=FIGURES.get(key, claim.value))
        for key, claim in frozen.organism.claims.items()
    }
    hours = np.arange(240)
    kill = np.where(hours % 24 < 12, 0.05, 0.2) if name == "B" else np.zeros(240)
    water = frozen.tank_hours
    body = replace(water.strata[0].bodies[0], temperature_c=np.full(240, 27.0), exchange_per_h=kill)
    return replace(
        frozen,
        organism=replace(frozen.organism, claims=claims),
        tank_hours=replace(water, strata=(Stratum("point", 1.0, (body,)),)),
        hosts=tuple(
            replace(group, count=count) for group, count in zip(frozen.hosts, (1, 2), strict=True)
        ),
        swimmer_kill_per_h=kill,
        settings=frozen.settings | {"start_c": 27.0, "end_c": 27.0},
    )


def peer_histories(peer: kernel_peers.Peer, frozen: Model, runs: int) -> NDArray[np.int64]:
    """Return (runs, days, outputs) of a simulator."""
    play, net = peer.ready(frozen)
    return np.stack([totals(net, play(seed)) for seed in range(runs)])


def apart(ours: NDArray[np.float64], theirs: NDArray[np.int64]) -> Difference:
    """Compare a few histories of a simulator with the loop, whose spread is better known."""
    error = np.sqrt(ours.var(axis=0) * (1 / len(ours) + 1 / len(theirs)))
    mean = theirs.mean(axis=0)
    return Difference(mean, ours.mean(axis=0) - mean, error)


def agree(
    peer: kernel_peers.Peer, frozen: Model, runs: int, days: tuple[int, ...], histories: int
) -> None:
    theirs = peer_histories(peer, frozen, runs)[:, np.asarray(days) - 1]
    difference = apart(loop(frozen, histories, days=days), theirs)
    assert np.abs(difference.in_errors).max() < 4, (
        difference.worst(),
        difference.mean,
        difference.bias,
    )


BY_WINDOW = replace(DIRECT, in_one_window=False)
SMALL = (
    (DIRECT, "A", 600),
    (NEXT, "A", 600),
    (BY_WINDOW, "B", 150),
    (ROADRUNNER, "A", 1000),
    (ROADRUNNER, "B", 1000),
)


@pytest.mark.slow
@pytest.mark.timeout(1800)
@pytest.mark.parametrize(("peer", "name", "runs"), SMALL, ids=lambda p: getattr(p, "name", str(p)))
def test_small_networks_agree(peer: kernel_peers.Peer, name: str, runs: int) -> None:
    agree(peer, small(name), runs, (2, 4, 6, 8, 10), 60_000)


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_treated_tank_agrees_to_the_end() -> None:
    """Two deaths in a hundred histories by day 5: fewer histories cannot judge so rare a count.

    Of the first 129 ten had a death where 2.6 were expected, of 500 others 10 where 10.2 were.
    """
    agree(ROADRUNNER, model("B"), 600, (5, 10, 20, 30), 20_000)


@pytest.mark.slow
@pytest.mark.timeout(1800)
def test_untreated_tank_agrees_while_it_grows() -> None:
    agree(DIRECT, model("A", days=10), 20, (3, 5, 8, 10), 20_000)


@pytest.mark.slow
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("peer", [DIRECT, ROADRUNNER], ids=lambda p: p.name)
def test_untreated_tank_agrees_to_the_end(peer: kernel_peers.Peer) -> None:
    agree(peer, model("A"), 6, (5, 10, 20, 30), 20_000)


def test_network_says_what_the_frozen_model_says() -> None:
    net = network_of(model("B"))
    assert len(net.species) == 20 * 8 + 20 + 6 + 1
    assert sum(net.species[f"T_{i}_0"] for i in range(20)) == 50
    assert net.parameters["find"] * 20 / net.parameters["fade"] == pytest.approx(8 / 292)
    by_name = {reaction.name: reaction for reaction in net.reactions}
    assert by_name["release"] == Reaction("release", {"M_5": 1}, {"N": 300}, "hatch * warm * M_5")
    assert by_name["on_T_3_7"].made == {"M_0": 1}
    assert net.parameters["leave"] == pytest.approx(8 / 120)
    text = sbml(warmed_by_rule(net, model("A")))
    assert text.count("<reaction ") == len(net.reactions)
    assert 'assignmentRule variable="warm"' in text
    assert "<abs/>" in text


def test_windows_hold_the_water_of_every_hour() -> None:
    frozen = model("B")
    windows = windows_of(frozen)
    assert [stretch.begin_h for stretch in windows] == [
        0,
        *(stretch.end_h for stretch in windows[:-1]),
    ]
    assert {stretch.begin_h: stretch.bottom_removed for stretch in windows}[34] == 0.4
    assert {stretch.begin_h: stretch.water_removed for stretch in windows}[36] == 0.25
    for stretch in windows:
        assert np.ptp(frozen.swimmer_kill_per_h[stretch.begin_h : stretch.end_h]) == 0
    assert sum(
        stretch.warm * (stretch.end_h - stretch.begin_h) for stretch in windows
    ) == pytest.approx(2**0.4 * 696 + (2**0.4 - 1) / (0.4 * np.log(2)) * 24, rel=1e-4)
    assert len(windows_of(model("A"))) == 24 + 29
    assert whole(frozen)[0].end_h == 720


def test_thinning_takes_its_share_of_bottom_and_swimmers_only() -> None:
    frozen = small("B")
    net = network_of(frozen)
    counts = np.full(len(net.species), 100_000)
    window = next(stretch for stretch in windows_of(frozen) if stretch.bottom_removed > 0)
    left = thinned(net, counts, window, np.random.default_rng(1)) / 100_000
    assert left[net.column("M_")] == pytest.approx(0.6, abs=0.01)
    assert (left[net.column("N") + net.column("T_") + net.column("A_")] == 1).all()


class Idle:
    """A simulator that takes a second for every window and leaves a hundred swimmers."""

    def __init__(self, clock: list[float]) -> None:
        self.clock = clock

    def set_pulls(self, pulls: NDArray[np.float64], seed: int) -> None:
        del pulls, seed

    def go_on(self, counts: NDArray[np.int64], window: Window, turn: int) -> NDArray[np.int64]:
        del turn
        self.clock[0] += 1.0
        left = np.where(np.arange(counts.size) == counts.size - 1, 100, counts)
        return np.tile(left, (max((window.end_h - window.begin_h) // 24, 1), 1))


def test_time_of_an_exact_simulator_is_put_to_an_outbreak_of_mean_size(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    clock = [0.0]
    monkeypatch.setattr(time, "process_time", lambda: clock[0])
    idle = kernel_peers.Peer("idle", "exact", True, lambda net: Idle(clock))
    # One second and 30 days of 100 swimmers each; the mean history has four times as many.
    exact = kernel_peers.timed(idle, model("A"), 2.5, 12_000.0)
    assert (exact.histories, exact.seconds_per_history) == (3, 4.0)
    assert "0.25 times" in exact.note
    leap = kernel_peers.timed(replace(idle, kind="approximate"), model("A"), 2.5, 12_000.0)
    assert leap.seconds_per_history == 1.0


def test_absent_simulators_are_said_to_be_absent(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(kernel_peers.NEEDED, "COPASI", "a_module_that_is_not_there")
    assert kernel_peers.measure("A", 1.0) == []
    assert "COPASI" in capsys.readouterr().out
