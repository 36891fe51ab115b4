"""Time the life-cycle loop on the frozen models, against bare loops in the same process.

Processor seconds of this process, so that other work on the machine counts little. What is
compared runs in turn, round after round, and the middle round counts.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from statistics import median
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tankside import lifecycle
from tankside.bench.kernel_models import Model, model
from tankside.claims.organism import Spread
from tankside.lifecycle.inputs.clocks import cumulative, guide
from tankside.lifecycle.inputs.forcing import shared_arrays
from tankside.lifecycle.inputs.residence_time import quantile_table
from tankside.lifecycle.kernel.positions import Work

ROUNDS = 7
FEW_ROUNDS = 3
DRAWS = 20_000_000
ALIAS_DRAWS = 5_000_000
EVENTS = 2_000_000
CELLS = 720
FISH = 20
GROWN = 5
"""Times the fish of the frozen model: 100, which the 5,000 are compared with."""
Job = Callable[[], object]


def rounds(jobs: Mapping[str, Job], number: int, clock: Callable[[], float]) -> dict[str, float]:
    """Run jobs in turn; return the middle time of each [s].

    Args:
        jobs: by name.
        number: of rounds.
        clock: what tells the time.
    """
    taken: dict[str, list[float]] = {name: [] for name in jobs}
    for _ in range(number):
        for name, job in jobs.items():
            begin = clock()
            job()
            taken[name].append(clock() - begin)
    return {name: median(times) for name, times in taken.items()}


def measure(histories: int) -> dict[str, float]:
    """Return microseconds a history and nanoseconds an event by name, for models A and B."""
    from tankside.bench.bare_loops import alias_draws, draws, events

    table, clock, places, ring = _event_arrays()
    cut, other = _alias_arrays()
    draws(10)
    alias_draws(10, cut, other)
    events(10, table, clock, places, ring)
    jobs: dict[str, Job] = {
        "draw": lambda: draws(DRAWS),
        "alias": lambda: alias_draws(ALIAS_DRAWS, cut, other),
        "event": lambda: events(EVENTS, table, clock, places, ring),
    }
    work = {}
    for name in ("A", "B"):
        jobs[name], work[name] = job(model(name), histories)
    middle = rounds(jobs, ROUNDS, time.process_time)
    times = {
        "draw_ns": middle["draw"] / DRAWS * 1e9,
        "alias_ns": middle["alias"] / ALIAS_DRAWS * 1e9,
        "bare_event_ns": middle["event"] / EVENTS * 1e9,
    }
    for name in ("A", "B"):
        times[f"{name}_us_per_history"] = middle[name] / histories * 1e6
        times[f"{name}_ns_per_event"] = middle[name] / histories / work[name] * 1e9
    return times


def growth(histories: int) -> dict[str, float]:
    """Return processor seconds per event, over model A's with 100 fish or, for the rest, with 20.

    Args:
        histories: of 20 fish; of more fish fewer are played.
    """
    grown = {
        "base": model("A"),
        "fish_100": model("A", fish=GROWN),
        "fish_5000": model("A", fish=250),
        "days_60": model("A", days=60),
        "burden_x10": model("A", burden=10),
        "burden_x100": model("A", burden=100),
    }
    jobs, events = {}, {}
    for name, frozen in grown.items():
        number = max(histories * FISH // sum(group.count for group in frozen.hosts), 4)
        jobs[name], work = job(frozen, number)
        events[name] = number * work
    middle = rounds(jobs, FEW_ROUNDS, time.process_time)
    each = {name: taken / events[name] for name, taken in middle.items()}
    relative = {
        f"{name} over 20 fish": each[name] / each["base"]
        for name in ("fish_100", "days_60", "burden_x10", "burden_x100")
    }
    return {"fish_5000 over 100 fish": each["fish_5000"] / each["fish_100"]} | relative


def threads(histories: int) -> float:
    """Return the time on the clock with two threads over the time with one, model A."""
    jobs = {str(n): job(model("A"), histories, threads=n)[0] for n in (1, 2)}
    middle = rounds(jobs, ROUNDS, time.perf_counter)
    return middle["2"] / middle["1"]


def tables(histories: int) -> float:
    """Return the time to build every table of a 60-day course over the time of 100 histories."""
    frozen = model("A", days=60)
    compiled = frozen.compiled()
    setting = compiled.setting(frozen.tank_hours.hours)

    def build() -> None:
        quantile_table.cache_clear()
        shared_arrays(setting, frozen.tank_hours.strata[0], (0,))

    play, _ = job(frozen, histories)
    middle = rounds({"build": build, "play": play}, ROUNDS, time.process_time)
    return middle["build"] / (middle["play"] / histories * 100)


def job(frozen: Model, histories: int, *, threads: int = 1) -> tuple[Job, float]:
    """Return what runs a model, and how many settlings and bottom entries a history has."""
    compiled = frozen.compiled()
    draws = lifecycle.draw(frozen.organism, histories, 1, fixed=True)

    def run() -> lifecycle.Histories:
        return lifecycle.run(compiled, frozen.start, draws, histories, 5, threads=threads)

    work = run().work[:, [Work.LANDINGS, Work.BOTTOM_ENTRIES]].sum(axis=1).mean()
    return run, float(work)


def _event_arrays() -> tuple[NDArray[Any], ...]:
    clock = cumulative(np.full(CELLS, 1.3))
    places, _ = guide(clock, 2 * CELLS)
    ring = np.zeros((CELLS, FISH), dtype=np.int32)
    return quantile_table(Spread.GAMMA, 0.35), clock, places, ring


def _alias_arrays() -> tuple[NDArray[Any], ...]:
    """Return cuts and other cells spread at random: their values do not change the work."""
    rng = np.random.default_rng(1)
    cut = rng.integers(0, 2**32, CELLS, dtype=np.uint32)
    return cut, rng.integers(0, CELLS, CELLS)
