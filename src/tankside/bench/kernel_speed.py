"""Time the life-cycle loop on the frozen models, against bare loops in the same process.

Processor seconds of this process, so that other work on the machine counts little; medians of
repeats taken in turn.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from statistics import median
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tankside import lifecycle
from tankside.bench.kernel_models import Model, model
from tankside.claims.organism import Spread
from tankside.lifecycle.clocks import cumulative, guide
from tankside.lifecycle.stays import quantile_table

REPEATS = 5
DRAWS = 20_000_000
EVENTS = 2_000_000
FISH = 20
FRESH = """
import time
begin = time.perf_counter()
from tankside import library, lifecycle
from tankside.bench.kernel_models import model
frozen = model("B")
draws = lifecycle.draw(frozen.organism, 64, 1)
lifecycle.run(frozen.compiled(), frozen.start, draws, 64, 1)
print(time.perf_counter() - begin)
"""


def measure(histories: int) -> dict[str, float]:
    """Return seconds and nanoseconds by name for models A and B."""
    from tankside.bench.bare_loops import draws, events

    table, clock, places, ring = _event_arrays()
    draws(10)
    events(10, table, clock, places, ring)
    jobs: dict[str, Callable[[], object]] = {
        "draw": lambda: draws(DRAWS),
        "event": lambda: events(EVENTS, table, clock, places, ring),
    }
    work = {}
    for name in ("A", "B"):
        run, work[name] = _job(model(name), histories)
        jobs[name] = run
    taken = {name: [_seconds(job) for _ in range(REPEATS)] for name, job in jobs.items()}
    middle = {name: median(times) for name, times in taken.items()}
    draw_ns = middle["draw"] / DRAWS * 1e9
    event_ns = middle["event"] / EVENTS * 1e9
    found = {"draw_ns": draw_ns, "bare_event_ns": event_ns}
    for name in ("A", "B"):
        found[f"{name}_us_per_history"] = middle[name] / histories * 1e6
        found[f"{name}_events"] = work[name]
        found[f"{name}_ns_per_event"] = middle[name] / histories / work[name] * 1e9
    return found


def growth(histories: int) -> dict[str, float]:
    """Return processor seconds per event relative to the frozen model A as it grows."""
    found = {}
    base = 0.0
    grown = {
        "base": model("A"),
        "fish_x5": model("A", fish=5),
        "fish_x250": model("A", fish=250),
        "days_x2": model("A", days=60),
        "burden_x10": model("A", burden=10),
    }
    for name, frozen in grown.items():
        fish = sum(group.count for group in frozen.hosts)
        number = max(histories * FISH // fish, 4)
        run, work = _job(frozen, number)
        per_event = _seconds(run) / number / work
        base = base or per_event
        found[name] = per_event / base
    return found


def threads(histories: int) -> float:
    """Return the time with two threads over the time with one, model A."""
    one, two = (
        median(_wall(_job(model("A"), histories, threads=n)[0]) for _ in range(REPEATS))
        for n in (1, 2)
    )
    return two / one


def as_used(histories: int) -> dict[str, float]:
    """Return the time with drawn claims over the time with fixed claims, 60 days of white spot."""
    from tankside.bench.kernel_as_used import forecast

    return {f"{c:g} C": forecast(histories, c) for c in (11.0, 25.0)}


def cold_start() -> dict[str, float]:
    """Return seconds to a first small result with and without compiled code at hand."""
    with tempfile.TemporaryDirectory() as cache:
        both = [_fresh(cache) for _ in range(2)]
    return {"cold_s": both[0], "warm_s": both[1]}


def _fresh(cache: str) -> float:
    ran = subprocess.run(
        [sys.executable, "-c", FRESH],
        env=os.environ | {"NUMBA_CACHE_DIR": cache},
        capture_output=True,
        text=True,
        check=True,
    )
    return float(ran.stdout.split()[-1])


def _job(
    frozen: Model, histories: int, *, threads: int = 1
) -> tuple[Callable[[], lifecycle.Histories], float]:
    """Return what runs the model, and how many settlings and bottom entries a history has."""
    compiled = frozen.compiled()
    draws = lifecycle.draw(frozen.organism, histories, 1, fixed=True)

    def run() -> lifecycle.Histories:
        return lifecycle.run(compiled, frozen.start, draws, histories, 5, threads=threads)

    work = run().work[:, :2].sum(axis=1).mean()
    return run, float(work)


def _event_arrays() -> tuple[NDArray[Any], ...]:
    clock = cumulative(np.full(720, 1.3))
    places, _ = guide(clock, 1440)
    return quantile_table(Spread.GAMMA, 0.35), clock, places, np.zeros((720, 20), dtype=np.int32)


def _seconds(job: Callable[[], object]) -> float:
    begin = time.process_time()
    job()
    return time.process_time() - begin


def _wall(job: Callable[[], object]) -> float:
    begin = time.perf_counter()
    job()
    return time.perf_counter() - begin
