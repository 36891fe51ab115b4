"""What a set-up asks of the histories: one number per history, or the chance of an event."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from tests.experiments.setups_read import Check
from tests.experiments.tank import FISH

from tankside import lifecycle
from tankside.lifecycle.results.observation_model import seen_share

Numbers = np.ndarray[Any, np.dtype[np.float64]]
Run = lifecycle.Histories
NEVER = np.inf
LAST_FIRST_GENERATION_D = 12


def per_history(values: Any) -> Numbers:
    """Return what was worked out of the histories as numbers; a chance is 0 or 1 in each."""
    return np.asarray(values, dtype=np.float64)


def per_fish(run: Run) -> Numbers:
    """Return the mean burden per live fish, shape (R, D)."""
    return run.burden[:, :, 0] / np.maximum(run.alive[:, :, 0], 1)


def first_day(run: Run, true: np.ndarray[Any, np.dtype[np.bool_]]) -> Numbers:
    days = run.days[np.argmax(true, axis=1)]
    return np.where(true.any(axis=1), days, NEVER)


def visible_d(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return the first day on which any one parasite is large enough to be seen."""
    return first_day(run, run.visible[:, :, 0] > 0)


def seen_d(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return the first day on which one spot per fish is counted by eye, on average."""
    counted = run.visible[:, :, 0] / np.maximum(run.alive[:, :, 0], 1)
    return first_day(run, counted * seen_share(run, "spots")[:, np.newaxis] >= 1)


def dead_percent(check: Check, run: Run, _: Run | None) -> Numbers:
    return per_history(100 * (1 - run.alive[:, -1, 0] / check["fish"]))


def alive_percent(check: Check, run: Run, _: Run | None) -> Numbers:
    return per_history(100 * run.alive[:, -1, 0] / check["fish"])


def seen_free(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return the chance that nothing is counted on the fish looked at, in each history."""
    look = check["look"]
    hour = int(check["days"] * 24)
    none = lifecycle.Sighting(hour, FISH, look["how"], (0.0,) * look["fish"])
    return np.exp(lifecycle.observe(run, (none,))) * (run.alive[:, -1, 0] > 0)


def eradicated(check: Check, run: Run, _: Run | None) -> Numbers:
    return per_history((run.burden[:, -1, 0] == 0) & (run.alive[:, -1, 0] > 0))


def decline_d(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return the first day after the peak with less than half of it, half the fish alive."""
    burden = per_fish(run)
    peak = np.argmax(burden, axis=1)
    after = np.arange(burden.shape[1]) > peak[:, np.newaxis]
    low = burden < 0.5 * burden.max(axis=1)[:, np.newaxis]
    lives = run.alive[:, :, 0] >= check["fish"] / 2
    return first_day(run, after & low & lives)


def free_percent(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return live fish without parasites; 0 when more than half the fish died."""
    k = run.moment(int(24 * check["at_day"]))
    alive = run.alive[:, k, 0]
    free = 100 * (1 - run.infested[:, k, 0] / np.maximum(alive, 1))
    return np.where(alive >= check["fish"] / 2, free, 0.0)


def doubling_d(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return ln 2 x days / ln(growth of the mean count); never where it does not grow."""
    mean = per_fish(run)
    growth = np.log(np.maximum(mean[:, -1], 1e-9) / mean[:, 0])
    return np.where(growth > 0, np.log(2) * check["days"] / np.maximum(growth, 1e-9), NEVER)


def peak_d(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return the day of the highest mean count; never when that is the last day or none."""
    mean = per_fish(run)
    peak = np.argmax(mean, axis=1)
    inside = (peak < mean.shape[1] - 1) & (mean.max(axis=1) > 0)
    return np.where(inside, run.days[peak], NEVER)


def still_rising(check: Check, run: Run, _: Run | None) -> Numbers:
    mean = per_fish(run)
    return per_history(mean[:, -1] >= mean[:, :-1].max(axis=1))


def ratio_to_untreated(check: Check, run: Run, untreated: Run | None) -> Numbers:
    """Return whether treated fish carry at most the published part of the untreated."""
    assert untreated is not None
    other = per_fish(untreated)[:, -1]
    return per_history((per_fish(run)[:, -1] <= check["published"] * other) & (other > 0))


def second_generation(check: Check, run: Run, _: Run | None) -> Numbers:
    late = run.days >= LAST_FIRST_GENERATION_D
    return per_history(run.burden[:, late, 0].max(axis=1) > 0)


def no_second_generation(check: Check, run: Run, _: Run | None) -> Numbers:
    return 1 - second_generation(check, run, None)


def infected(check: Check, run: Run, _: Run | None) -> Numbers:
    return per_history(run.infested[:, 1:, 0].max(axis=1) > 0)


def some_die(check: Check, run: Run, _: Run | None) -> Numbers:
    return per_history(run.alive[:, -1, 0] < check["fish"])


def all_infested(check: Check, run: Run, _: Run | None) -> Numbers:
    alive = run.alive[:, -1, 0]
    return per_history((run.infested[:, -1, 0] == alive) & (alive > 0))


def growth_falls(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return whether the mean count grows slower in the last two weeks than in the first two."""
    mean = np.log(np.maximum(per_fish(run), 1e-9))
    fortnight = int(run.moment(14 * 24))
    early = mean[:, fortnight] - mean[:, 0]
    late = mean[:, -1] - mean[:, -1 - fortnight]
    return per_history(late < early)


def leaves_d(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return the first day on which the one parasite put on the fish is gone."""
    return first_day(run, run.burden[:, :, 0] == 0)


def extinct_d(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return the first day on which no fish carries any."""
    return first_day(run, run.burden.sum(axis=2) == 0)


def persists(check: Check, run: Run, _: Run | None) -> Numbers:
    return per_history(run.burden[:, -1].sum(axis=1) > 0)


def mean_count(check: Check, run: Run, _: Run | None) -> Numbers:
    """Return the mean burden of the live fish at the end, without the donor."""
    return per_fish(run)[:, -1]


OUTCOMES: dict[str, Callable[[Check, Run, Run | None], Numbers]] = {
    f.__name__: f
    for f in (
        visible_d, seen_d, dead_percent, alive_percent, seen_free, eradicated, decline_d,
        free_percent, doubling_d, peak_d, still_rising, ratio_to_untreated, second_generation,
        no_second_generation, infected, some_die, all_infested, growth_falls, leaves_d, extinct_d,
        persists, mean_count,
    )
}  # fmt: skip
