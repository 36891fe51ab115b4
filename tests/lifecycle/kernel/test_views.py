"""Views in compiled code read and write what numpy would."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numba import njit

from tankside.lifecycle.kernel.layout import fields
from tankside.lifecycle.kernel.world import World

SHAPE = (3, 4, 5)


def arrays() -> dict[str, Any]:
    """Return one array of every field, filled with numbers that tell the places apart."""
    chance = np.random.default_rng(1)
    return {
        name: chance.integers(0, 100, SHAPE[:size] or (1,)).astype(kind)
        if size <= len(SHAPE)
        else np.zeros((1,) * size, dtype=kind)
        for name, kind, size in fields()
    }


def read_one(w: Any) -> Any:
    return w.residue_low[2, 1, 4], w.jump[0, 3, 2], w.land[1, 2], w.alive[2], w.keys[1]


def read_rows(w: Any) -> Any:
    block = w.jump[2]
    row = w.jump[1, 3]
    return block[3, 4], row[2], row.size, block.size, block.shape[0], w.jump.shape[2]


def read_by_other_kinds(w: Any) -> Any:
    return w.jump[w.group_alive[0] % 3, np.int32(2), np.uint64(1)], w.land[1 + w.alive[0] % 2, 0]


@pytest.mark.parametrize("body", [read_one, read_rows, read_by_other_kinds])
def test_what_is_read_is_what_numpy_reads(body: Callable[[Any], Any]) -> None:
    held = arrays()
    assert njit(body)(World(held)) == body(Plain(held))


def write_one(w: Any) -> None:
    w.jump[2, 0, 1] = 7
    w.alive[1] = True
    w.land[2, 3] += 5
    row = w.cumulative[1, 1]
    row[4] = 0.25


def write_blocks(w: Any) -> None:
    w.jump[:] = 1.5
    w.land[1, 2:] = 9
    w.gone[1:, 2] = 8
    w.find[:, 1] = 0.5
    w.cumulative[1, :, 2:4] = -1.0
    w.low_ring[1:3] = 3
    w.low_lost[:, 1:] = 4
    w.burden[4:] = 1
    w.rates[1:0] = 99.0


@pytest.mark.parametrize("body", [write_one, write_blocks])
def test_what_is_written_is_what_numpy_writes(body: Callable[[Any], None]) -> None:
    ours, plain = arrays(), arrays()
    njit(body)(World(ours))
    body(Plain(plain))
    for name in plain:
        assert np.array_equal(ours[name], plain[name]), name


class Plain:
    """The same names as a World, as plain arrays."""

    def __init__(self, held: dict[str, Any]) -> None:
        vars(self).update(held)


CHECKED = """
import numpy as np
from numba import njit
from tests.lifecycle.kernel.test_views import arrays
from tankside.lifecycle.kernel.world import World
read = njit(lambda w, k: w.burden[k])
read(World(arrays()), 2)
for k in (3, -1):
    try:
        read(World(arrays()), k)
    except IndexError:
        continue
    raise SystemExit(f"{k} was read")
from tests.lifecycle.stored_baseline import cases
for name, case in cases().items():
    case()
"""


@pytest.mark.slow
def test_the_loop_never_reaches_outside_an_array(tmp_path: Any) -> None:
    # Views count from the front and do not look; with the compiler's switch every index is checked.
    checked = os.environ | {"NUMBA_BOUNDSCHECK": "1", "NUMBA_CACHE_DIR": str(tmp_path)}
    subprocess.run([sys.executable, "-c", CHECKED], env=checked, check=True)
