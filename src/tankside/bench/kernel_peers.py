"""General stochastic simulators on the frozen models, to compare speed and answers.

They are no part of the program: COPASI (`python-copasi`) and libRoadRunner come with the slow tier.
libRoadRunner plays both models in windows of constant water. COPASI works out anew at the start of
every window which reaction acts on which (a quarter of a second for 527 reactions), so it plays A
in one window, with the temperature as a rule in time, and is left out of B.
"""

# The simulators carry no types.
# mypy: disable-error-code="no-untyped-call"

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any, Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from tankside import lifecycle
from tankside.bench.kernel_models import Model, model
from tankside.bench.kernel_network import (
    Network,
    Window,
    network_of,
    sbml,
    thinned,
    totals,
    warmed_by_rule,
    whole,
    windows_of,
)
from tankside.quantity.per import HOURS_PER_DAY

Counts = NDArray[np.int64]
Kind = Literal["exact", "approximate"]
NEEDED = {"COPASI": "COPASI", "libRoadRunner": "roadrunner"}
INSTALL = "python -m pip install --require-hashes --no-deps -r locks/slow.lock"
SEEDS = 2**31 - 1
SWIMMERS = 2
USUAL = 2000
NOTES = {True: "temperature as a rule in time", False: "water constant within each hour"}


@dataclass(frozen=True, slots=True)
class PeerTime:
    """Processor time of one simulator on one model."""

    name: str
    kind: Kind
    seconds_per_history: float
    histories: int
    note: str


class Simulator(Protocol):
    """Plays a network from given counts through one window."""

    def set_pulls(self, pulls: NDArray[np.float64], seed: int) -> None:
        """Start a history with these attractions of the fish and this random stream."""

    def go_on(self, counts: Counts, window: Window, turn: int) -> Counts:
        """Return the counts, day by day or at the end of a shorter window.

        ``turn`` numbers the windows of a history.
        """


def _rows(window: Window) -> int:
    return max((window.end_h - window.begin_h) // HOURS_PER_DAY, 1)


class Copasi:
    """COPASI with one of its stochastic methods."""

    def __init__(self, net: Network, method: str) -> None:
        """Load the network.

        Args:
            net: the network.
            method: COPASI's name of the method: directMethod, stochastic, adaptiveSA, tauLeap.
        """
        import COPASI  # type: ignore[import-not-found, unused-ignore]

        self._kind = COPASI.CCopasiTask
        self._counting = COPASI.CCore.Framework_ParticleNumbers
        data = COPASI.CRootContainer.addDatamodel()
        if not data.importSBMLFromString(sbml(net)):
            raise ValueError(COPASI.CCopasiMessage.getAllMessageText())
        self._data, self._model = data, data.getModel()
        species, values = self._model.getMetabolites(), self._model.getModelValues()
        by_name = {species.get(k).getObjectName(): species.get(k) for k in range(species.size())}
        self._species = [by_name[name] for name in net.species]
        self._values = {values.get(k).getObjectName(): values.get(k) for k in range(values.size())}
        self._task = data.getTask("Time-Course")
        self._task.setMethodType(getattr(COPASI.CTaskEnum, f"Method_{method}"))
        self._problem = self._task.getProblem()
        self._problem.setTimeSeriesRequested(True)
        self._rules = net.rules
        self._seed = 0

    def set_pulls(self, pulls: NDArray[np.float64], seed: int) -> None:
        """Start a history with these attractions of the fish and this random stream."""
        self._seed = seed
        for i, pull in enumerate(pulls):
            self._values[f"pull_{i}"].setInitialValue(float(pull))

    def go_on(self, counts: Counts, window: Window, turn: int) -> Counts:
        """Return the counts, day by day or at the end of a shorter window."""
        for name, value in (("warm", window.warm), ("kill", window.kill_per_h)):
            if name not in self._rules:
                self._values[name].setInitialValue(value)
        for species, number in zip(self._species, counts.tolist(), strict=True):
            species.setInitialValue(number)
        self._model.updateInitialValues(self._counting)
        self._problem.setDuration(window.end_h - window.begin_h)
        self._problem.setStepNumber(_rows(window))
        method = self._task.getMethod()
        method.getParameter("Use Random Seed").setBoolValue(True)
        method.getParameter("Random Seed").setUIntValue((self._seed * 1009 + turn) % SEEDS)
        series = self._kind.OUTPUT_UI
        if not self._task.initialize(series) or not self._task.process(True):
            raise RuntimeError(self._task.getProcessError())
        return self._series()

    def _series(self) -> Counts:
        series = self._task.getTimeSeries()
        names = [series.getTitle(k) for k in range(series.getNumVariables())]
        place = [names.index(species.getObjectName()) for species in self._species]
        return np.asarray(
            [
                [round(series.getData(step, k)) for k in place]
                for step in range(1, series.getRecordedSteps())
            ]
        )


class RoadRunner:
    """libRoadRunner with Gillespie's direct method."""

    def __init__(self, net: Network) -> None:
        """Load the network."""
        import roadrunner  # type: ignore[import-not-found, unused-ignore]

        self._runner: Any = roadrunner.RoadRunner(sbml(net))
        self._runner.setIntegrator("gillespie")
        self._runner.integrator.variable_step_size = False
        self._model = self._runner.model
        ours = {name: k for k, name in enumerate(net.species)}
        self._theirs = np.asarray([ours[n] for n in self._model.getFloatingSpeciesIds()])
        self._runner.timeCourseSelections = ["time"]

    def set_pulls(self, pulls: NDArray[np.float64], seed: int) -> None:
        """Start a history with these attractions of the fish and this random stream."""
        self._runner.integrator.seed = seed + 1
        for i, pull in enumerate(pulls):
            self._runner[f"pull_{i}"] = float(pull)

    def go_on(self, counts: Counts, window: Window, turn: int) -> Counts:
        """Return the counts, day by day or at the end of a shorter window."""
        del turn
        self._runner["warm"], self._runner["kill"] = window.warm, window.kill_per_h
        self._model.setFloatingSpeciesAmounts(counts[self._theirs].astype(np.float64))
        rows = []
        for _ in range(_rows(window)):
            hours = (window.end_h - window.begin_h) / _rows(window)
            self._runner.simulate(0, hours, 2)
            later = np.empty_like(counts)
            amounts = self._model.getFloatingSpeciesAmounts()
            later[self._theirs] = np.rint(amounts).astype(np.int64)
            rows.append(later)
        return np.stack(rows)


def play(simulator: Simulator, net: Network, windows: list[Window], seed: int) -> Counts:
    """Play one history; return the counts at the end of each day, (days, species)."""
    rng = np.random.default_rng(seed)
    shape = net.pull_shape
    pulls = rng.gamma(shape, 1 / shape, net.fish) if shape > 0 else np.ones(net.fish)
    simulator.set_pulls(pulls, seed)
    counts = np.asarray(list(net.species.values()))
    rows = []
    for turn, window in enumerate(windows):
        counts = thinned(net, counts, window, rng)
        stretch = simulator.go_on(counts, window, turn)
        counts = stretch[-1]
        if window.end_h % HOURS_PER_DAY == 0:
            rows.append(stretch)
    return np.concatenate(rows)


@dataclass(frozen=True, slots=True)
class Peer:
    """A simulator with its method."""

    name: str
    kind: Kind
    in_one_window: bool
    make: Callable[[Network], Simulator]

    def ready(self, frozen: Model) -> tuple[Callable[[int], Counts], Network]:
        """Load a frozen model; return what plays one history from a seed, and the network."""
        net, windows = network_of(frozen), windows_of(frozen)
        if self.in_one_window:
            net, windows = warmed_by_rule(net, frozen), whole(frozen)
        simulator = self.make(net)
        return (lambda seed: play(simulator, net, windows, seed)), net


PEERS = (
    Peer("COPASI direct method", "exact", True, lambda net: Copasi(net, "directMethod")),
    Peer("COPASI next reaction", "exact", True, lambda net: Copasi(net, "stochastic")),
    Peer("COPASI adaptive leap", "approximate", True, lambda net: Copasi(net, "adaptiveSA")),
    Peer("libRoadRunner direct method", "exact", False, RoadRunner),
)


def measure(name: str, seconds: float) -> list[PeerTime]:
    """Time every simulator that can play one frozen model.

    Loading the network is not counted. Each simulator plays at least one whole history, however
    long that takes, and then more until its share of the time is used up. Outbreaks of model A
    differ in size several times over, and an exact simulator's time follows the number of swimmers
    that die, so there its time is taken per swimmer and day and put to the loop's mean history.

    Args:
        name: "A" or "B".
        seconds: processor time for all simulators together.

    Returns:
        One entry per simulator; empty, with a printed reason, when one is not installed.
    """
    absent = [peer for peer, module in NEEDED.items() if find_spec(module) is None]
    if absent:
        print(f"not installed: {', '.join(absent)}; to compare with them: {INSTALL}")
        return []
    frozen = model(name)
    able = [peer for peer in PEERS if name == "A" or not peer.in_one_window]
    usual = usual_swimmer_days(frozen)
    return [timed(peer, frozen, seconds / len(able), usual) for peer in able]


def usual_swimmer_days(frozen: Model) -> float:
    """Return the swimmers seen at the ends of all days of a history, in the loop's mean."""
    draws = lifecycle.draw(frozen.organism, USUAL, 1, fixed=True)
    histories = lifecycle.run(frozen.compiled(), frozen.start, draws, USUAL, 1, threads=1)
    return float(histories.swimmers[:, 1:].sum(axis=1).mean())


def timed(peer: Peer, frozen: Model, seconds: float, usual: float) -> PeerTime:
    """Time one simulator on one frozen model.

    Args:
        peer: the simulator.
        frozen: the model.
        seconds: processor time to use up; one history is played in any case.
        usual: swimmers at the ends of all days of a mean history.
    """
    run, net = peer.ready(frozen)
    begin = time.process_time()
    histories, swimmer_days = 0, 0
    while histories == 0 or time.process_time() - begin < seconds:
        swimmer_days += int(totals(net, run(histories))[:, SWIMMERS].sum())
        histories += 1
    each = (time.process_time() - begin) / histories
    size = swimmer_days / histories / usual
    note = f"{NOTES[peer.in_one_window]}; outbreaks {size:.2f} times the mean size"
    if frozen.name == "A" and peer.kind == "exact" and size > 0:
        each, note = each / size, f"{note}, put to the mean"
    return PeerTime(peer.name, peer.kind, each, histories, note)
