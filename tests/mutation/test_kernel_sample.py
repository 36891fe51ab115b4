"""The compiled loop is not counted in coverage: a seeded sample of planted changes holds it.

Compiled code cannot be swapped while it runs, so each change is made in a copy of the package, is
compiled anew there, and the stored baseline, the laws and the peers of the loop have to notice.
Bounds that only guard the size of a working array are drawn like any other change.
"""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import tankside

if TYPE_CHECKING:  # the changes are made by a library of the slow tier
    from tests.mutation.mutants import Mutant

SOURCE = Path(tankside.__file__).resolve().parent
ROOT = Path(__file__).resolve().parents[2]
FILES = (
    "arrivals", "bottom", "broods", "chance", "clock", "finding", "fish", "hazards", "history",
    "looking", "onfish", "rated", "swimmers",
)  # fmt: skip
HOLDING = (
    "tests/lifecycle/test_stored_baseline.py",
    "tests/lifecycle/kernel",
    "tests/lifecycle/test_organisms.py",
)
SAMPLE, SEED, LEAST = 24, 20261129, 0.8
LONGEST_S = 600


def sample() -> list[Mutant]:
    """Return the changes of the loop that are tried, the same ones every time."""
    from tests.mutation.mutants import mutants_of

    names = [f"lifecycle/kernel/{name}.py" for name in FILES]
    every = [m for name in names for m in mutants_of(name, SOURCE / name) if m.kind == "code"]
    return random.Random(SEED).sample(every, SAMPLE)


def noticed(mutant: Mutant, folder: Path) -> bool:
    """Whether a test notices a change, planted in a copy of the package."""
    package = folder / "tankside"
    shutil.copytree(SOURCE, package, ignore=shutil.ignore_patterns("__pycache__"))
    (package / mutant.file).write_text(mutant.source, encoding="utf-8")
    path = os.pathsep.join((str(folder), str(ROOT)))
    environment = {**os.environ, "PYTHONPATH": path, "NUMBA_CACHE_DIR": str(folder / "compiled")}
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-n", "0", "-p", "no:cacheprovider"]
    try:
        run = subprocess.run(
            [*command, *HOLDING], cwd=ROOT, env=environment, capture_output=True, timeout=LONGEST_S
        )
    except subprocess.TimeoutExpired:
        return True
    return run.returncode != 0


@pytest.mark.slow
@pytest.mark.timeout(SAMPLE * LONGEST_S)
def test_most_of_a_seeded_sample_of_changes_of_the_loop_are_noticed(tmp_path: Path) -> None:
    left = []
    for number, mutant in enumerate(sample()):
        folder = tmp_path / str(number)
        if not noticed(mutant, folder):
            left.append(mutant.name)
        shutil.rmtree(folder)
    print(*left, sep="\n")
    assert len(left) <= (1 - LEAST) * SAMPLE, left


@pytest.mark.slow
def test_an_unchanged_copy_is_taken_for_unchanged(tmp_path: Path) -> None:
    unchanged = sample()[0]
    same = (SOURCE / unchanged.file).read_text(encoding="utf-8")
    assert not noticed(replace(unchanged, source=same), tmp_path / "same")
