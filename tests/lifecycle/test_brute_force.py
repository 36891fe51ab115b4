"""The loop against a second program with small steps, on the two frozen models."""

from __future__ import annotations

import numpy as np
import pytest
from tests.lifecycle.brute_force import outbreak

from tankside import lifecycle
from tankside.bench.kernel_models import model, warming

DAYS = (3, 5, 10, 15, 20, 30)


def compare(name: str, runs: int, steps: int, histories: int) -> np.ndarray:
    """Return z of loop minus brute force by day and output."""
    frozen = model(name)
    hours = frozen.tank_hours.hours
    siphon, water = np.zeros(hours), np.zeros(hours)
    if name == "B":
        siphon[10::24], water[12::24] = 0.4, 0.25
    kill, warm = frozen.swimmer_kill_per_h, warming(frozen.settings, hours)
    brute = outbreak(3, runs, steps, warm, kill, siphon, water, 0.8, 10)
    draws = lifecycle.draw(frozen.organism, histories, 1, fixed=True)
    ours = lifecycle.run(frozen.compiled(), frozen.start, draws, histories, 5)
    table = np.stack(
        [ours.burden.sum(2), ours.bottom, ours.swimmers, ours.alive.sum(2), ours.clear], -1
    )[:, 1:].astype(float)
    rows = []
    for day in DAYS:
        a, b = table[:, day - 1], brute[:, day - 1]
        error = np.sqrt(a.var(0) / histories + b.var(0) / runs)
        rows.append((a.mean(0) - b.mean(0)) / np.where(error > 0, error, np.inf))
    return np.asarray(rows)


@pytest.mark.slow
@pytest.mark.timeout(1800)
@pytest.mark.parametrize(("name", "runs"), [("A", 1500), ("B", 3000)])
def test_every_output_and_day_within_four_standard_errors(name: str, runs: int) -> None:
    assert np.abs(compare(name, runs, 60, 20000)).max() < 4


def test_treated_model_agrees_with_few_runs() -> None:
    # Burden, bottom and swimmers; deaths are too rare here for a normal error.
    z = compare("B", 200, 20, 4000)[:4, :3]
    assert np.abs(z).max() < 4
