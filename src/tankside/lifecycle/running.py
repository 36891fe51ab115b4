"""Run many random histories of one organism under one course."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tankside.claims import whole_setting
from tankside.errors import BadInput
from tankside.lifecycle.inputs.columns import value_columns
from tankside.lifecycle.inputs.compiling import Compiled
from tankside.lifecycle.inputs.forcing import WATCHED, Setting, shared_arrays
from tankside.lifecycle.inputs.immigration import last_hour, pulse_arrays, pulses
from tankside.lifecycle.inputs.initial_state import InitialValues, initial_values
from tankside.lifecycle.inputs.medicated_feed import with_feed
from tankside.lifecycle.inputs.mortality_factors import half_kills
from tankside.lifecycle.inputs.parameters import Values, number
from tankside.lifecycle.inputs.strong_baths import strong_kills
from tankside.lifecycle.inputs.types import Draws, Floats, InitialState
from tankside.lifecycle.kernel.positions import BodyCount, FishCount, Flag, GroupColumn, Work
from tankside.lifecycle.results.histories import Histories
from tankside.quantity.per import HOURS_PER_DAY

DAY = int(HOURS_PER_DAY)
Arrays = dict[str, NDArray[Any]]
MOST = whole_setting(10_000_000, "histories in one run")


def run(
    compiled: Compiled,
    start: InitialState,
    draws: Draws,
    histories: int,
    seed: int,
    *,
    record_h: tuple[int, ...] = (),
    threads: int = 2,
) -> Histories:
    """Run random histories of a compiled organism.

    The same seed and number of histories meet common random numbers under every course, and give
    the same bytes for any number of threads.

    Args:
        compiled: from :func:`tankside.lifecycle.compile`.
        start: what is believed to be there at hour 0.
        draws: claim values per history, from :func:`tankside.lifecycle.draw`.
        histories: how many; at most the rows of ``draws``.
        seed: names the streams of chance.
        record_h: hours at which to look; empty means every 24 h from hour 0 to the end.
        threads: worker threads; does not change the result.

    Returns:
        Histories, one row per history; ``draws`` in it also holds the starting state by name.

    Raises:
        BadInput: more histories than draws, or a moment outside the hours (E-FC-01).
    """
    hours = compiled.tank_hours.hours
    moments = tuple(sorted(record_h)) or tuple(range(0, hours + 1, DAY))
    _check(histories, draws, moments, hours)
    setup = compiled.setting(hours)
    values = Values(compiled.organism, draws, histories)
    initial = initial_values(values, compiled.parts, compiled.hosts, setup.bodies, start, seed)
    arriving = pulses(setup, start)
    per = _per_history(setup, values, initial) | pulse_arrays(arriving, values, initial.arrivals)
    strata = compiled.tank_hours.strata
    which = allot(np.asarray([s.weight for s in strata]), histories)
    out = _empty(setup, histories, len(moments))
    for k, stratum in enumerate(strata):
        rows = np.flatnonzero(which == k)
        if rows.size:
            shared = shared_arrays(setup, stratum, moments)
            shared["flags"][Flag.EXACT_START] = start.exact
            shared["flags"][Flag.LAST_PULSE] = last_hour(arriving)
            _run_rows(shared | per | out, rows, (seed, threads))
    return _histories(setup, moments, out, initial.draws)


def prepare(progress: Callable[[str, int, int], None] | None = None) -> None:
    """Compile the loop, or fetch what was compiled before, ahead of the first run.

    Args:
        progress: told (what, done, total) before and after, when there is something to wait for.
    """
    from tankside.lifecycle.kernel.starter import prepare as compile_loop

    compile_loop(progress)


def _check(histories: int, draws: Draws, moments: tuple[int, ...], hours: int) -> None:
    if not 0 < histories <= min(draws.values.shape[0], MOST):
        raise BadInput(
            "E-FC-01",
            "That number of histories cannot be run.",
            given=histories,
            needed=f"1 to {min(draws.values.shape[0], MOST)}",
            next_step="Run fewer histories, or draw more first.",
        )
    if moments[0] < 0 or moments[-1] > hours:
        raise BadInput(
            "E-FC-01",
            "A moment to look at lies outside the hours of the course.",
            given=f"{moments[0]} to {moments[-1]} h",
            needed=f"0 to {hours} h",
            next_step="Look at hours of the course, or lengthen it.",
        )


def allot(weights: Floats, histories: int) -> NDArray[np.int64]:
    """Give each history a stratum of the water, in proportion, independent of its draws.

    History r takes the stratum into which the golden-ratio sequence falls, so any number of
    histories is close to the weights and history r keeps its stratum when more are run.
    """
    edges = np.cumsum(weights / weights.sum())
    golden = (np.sqrt(FIVE) - 1) / 2
    uniform = (np.arange(histories) * golden + 1 / 2) % 1
    rows = np.searchsorted(edges, uniform, side="right")
    return np.asarray(np.minimum(rows, weights.size - 1), dtype=np.int64)


FIVE = whole_setting(5, "golden ratio")


def _per_history(setup: Setting, values: Values, initial: InitialValues) -> Arrays:
    middle, steepness = half_kills(values, setup.factors, len(setup.parts.slots))
    return {
        "given_index": np.arange(values.histories),
        "given_values": with_feed(value_columns(values, setup.parts), setup, values),
        "kill_mid": middle,
        "kill_steep": steepness,
        "strong": strong_kills(values, setup.factors, len(setup.parts.slots)),
        "given_area": initial.area,
        "given_susceptibility": initial.susceptibility,
        "given_lethal": initial.lethal,
        "start": initial.start,
        "start_bottom": initial.start_bottom,
        "start_swimmers": initial.start_swimmers,
        "start_immune": initial.immune,
    }


def _empty(setup: Setting, histories: int, moments: int) -> Arrays:
    groups = len(setup.hosts)
    watched = sum(min(group.count, WATCHED) for group in setup.hosts)
    return {
        "out_group": np.zeros((histories, moments, groups, len(GroupColumn)), dtype=np.int64),
        "out_body": np.zeros(
            (histories, moments, len(setup.bodies), len(BodyCount)), dtype=np.int64
        ),
        "out_fish": np.zeros((histories, moments, watched, len(FishCount)), dtype=np.int32),
        "out_work": np.zeros((histories, len(Work)), dtype=np.int64),
    }


def _run_rows(arrays: Arrays, rows: NDArray[np.int64], seed_and_threads: tuple[int, int]) -> None:
    from tankside.lifecycle.kernel.scratch import scratch_for
    from tankside.lifecycle.kernel.starter import loop, world_of

    seed, threads = seed_and_threads
    play = loop()
    columns = arrays["given_values"].shape[1]
    shares = [np.ascontiguousarray(rows[k::threads]) for k in range(min(threads, rows.size))]

    def work(share: NDArray[np.int64]) -> None:
        play(world_of(arrays | scratch_for(arrays, columns)), share, np.int64(seed))

    if len(shares) == 1:
        work(shares[0])
        return
    with ThreadPoolExecutor(len(shares)) as pool:
        list(pool.map(work, shares))


def _histories(setup: Setting, moments: tuple[int, ...], out: Arrays, draws: Draws) -> Histories:
    group = np.moveaxis(out["out_group"], -1, 0)
    below = out["out_body"].sum(axis=2)
    clear = (group[GroupColumn.BURDEN].sum(axis=2) == 0) & (below.sum(axis=2) == 0)
    to_the_end = np.logical_and.accumulate(clear[:, ::-1], axis=1)[:, ::-1]
    at_h = np.asarray(moments, dtype=np.int64)
    first = np.argmax(to_the_end, axis=1)
    clear_day = np.where(to_the_end.any(axis=1), -(-at_h[first] // DAY), -1)
    return Histories(
        at_h=at_h,
        groups=tuple(g.id for g in setup.hosts),
        burden=group[GroupColumn.BURDEN],
        visible=group[GroupColumn.VISIBLE],
        worst_visible=group[GroupColumn.WORST_VISIBLE],
        infested=group[GroupColumn.INFESTED],
        alive=group[GroupColumn.ALIVE],
        bottom=below[:, :, BodyCount.BOTTOM],
        swimmers=below[:, :, BodyCount.SWIMMERS],
        clear=clear,
        clear_day=clear_day,
        weights=draws.weights,
        fish_group=_fish_groups(setup),
        fish_burden=out["out_fish"][:, :, :, FishCount.BURDEN],
        fish_visible=out["out_fish"][:, :, :, FishCount.VISIBLE],
        fish_alive=out["out_fish"][:, :, :, FishCount.ALIVE] > 0,
        draws=draws,
        work=out["out_work"],
        dispersion=number(setup.organism, "seen.dispersion", 1.0),
    )


def _fish_groups(setup: Setting) -> NDArray[np.int64]:
    counts = [min(group.count, WATCHED) for group in setup.hosts]
    return np.repeat(np.arange(len(counts)), counts)
