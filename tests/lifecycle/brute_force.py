"""An independent second program for the frozen models: small steps, exponential stages, no tables.

Shares nothing with the package's loop: Erlang stays as chains of exponential steps, swimmers by
competing hazards, deaths by hazard, everything moved by binomials in steps of 1/n hour.
"""

# ruff: noqa: NPY002, C901 -- compiled code knows only the older generator; it is one long loop

from __future__ import annotations

import math

import numpy as np
from numba import njit


@njit(cache=True)
def outbreak(seed, runs, steps, warm, kill, siphon, water, attraction_cv, exact_start):
    """Return (runs, days, 5): on fish, bottom, swimmers, fish alive, nothing left."""
    np.random.seed(seed)
    hours = warm.size
    out = np.zeros((runs, hours // 24, 5))
    k, m, fish, brood = 8, 6, 20, 300
    mu = 1 / 18.0
    beta = (8 / 300) / (1 - 8 / 300) * mu / fish
    dt = 1.0 / steps
    for run in range(runs):
        pull = np.ones(fish)
        if attraction_cv > 0:
            for i in range(fish):
                pull[i] = np.random.gamma(1 / attraction_cv**2, attraction_cv**2)
        alive = np.ones(fish, np.int64)
        on = np.zeros((fish, k), np.int64)
        below = np.zeros(m, np.int64)
        swim = 0
        for i in range(5):
            on[i, 0] = exact_start
        for hour in range(hours):
            if siphon[hour] > 0:
                for j in range(m):
                    below[j] -= np.random.binomial(below[j], siphon[hour])
            if water[hour] > 0:
                swim -= np.random.binomial(swim, water[hour])
            speed = 2 ** ((warm[hour] - 25) / 10)
            p_on = 1 - math.exp(-k / 120.0 * speed * dt)
            p_below = 1 - math.exp(-m / 24.0 * speed * dt)
            for _ in range(steps):
                total = 0.0
                for i in range(fish):
                    total += pull[i] * alive[i]
                rate = mu + kill[hour] + beta * total
                going = np.random.binomial(swim, 1 - math.exp(-rate * dt)) if swim else 0
                settle = np.random.binomial(going, beta * total / rate) if going else 0
                swim -= going
                leave = 0
                for i in range(fish):
                    burden = on[i].sum()
                    if burden == 0 or alive[i] == 0:
                        continue
                    x = (burden / 200.0) ** 2
                    if np.random.random() < 1 - math.exp(-0.02 * dt * x / (1 + x)):
                        leave += np.random.binomial(burden, 0.5)
                        alive[i] = 0
                        on[i, :] = 0
                        continue
                    for j in range(k - 1, -1, -1):
                        if on[i, j]:
                            gone = np.random.binomial(on[i, j], p_on)
                            on[i, j] -= gone
                            if j == k - 1:
                                leave += gone
                            else:
                                on[i, j + 1] += gone
                for j in range(m - 1, -1, -1):
                    if below[j]:
                        gone = np.random.binomial(below[j], p_below)
                        below[j] -= gone
                        if j == m - 1:
                            swim += brood * gone
                        else:
                            below[j + 1] += gone
                below[0] += leave
                rest = 0.0
                for i in range(fish):
                    rest += pull[i] * alive[i]
                for i in range(fish):
                    if settle > 0 and alive[i] and rest > 0:
                        taken = np.random.binomial(settle, min(1.0, pull[i] / rest))
                        on[i, 0] += taken
                        settle -= taken
                        rest -= pull[i]
            if hour % 24 == 23:
                day = hour // 24
                out[run, day, 0] = on.sum()
                out[run, day, 1] = below.sum()
                out[run, day, 2] = swim
                out[run, day, 3] = alive.sum()
                out[run, day, 4] = 1.0 if on.sum() + below.sum() + swim == 0 else 0.0
    return out
