"""A deterministic twin of the mean: a linear chain of stages, solved by matrix exponentials.

Written apart from the loop: expected numbers only, no chance. A residence time of gamma shape k is
a chain of k exponential steps (the method of stages, Cox 1955). Rates are constant within an hour,
so y(h + 1) = expm(A_h) y(h) is exact; what is done at the start of an hour multiplies y. It holds
where the mean obeys a linear equation: no deaths, no immunity, no ceiling, equal fish.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import expm

Floats = NDArray[np.float64]


@dataclass
class Chain:
    """Expected numbers by step; ``rates[i, j]`` is the flow per hour and head from j into i."""

    steps: list[str] = field(default_factory=list)
    flows: list[tuple[str, str, float, float, str]] = field(default_factory=list)

    def stage(self, name: str, mean_h: float, shape: int, clock: str = "") -> tuple[str, str]:
        """Add a residence time of gamma shape; return its first step and its last."""
        names = [f"{name}.{k}" for k in range(shape)]
        self.steps += names
        for before, after in pairwise(names):
            self.passes(before, after, shape / mean_h, clock=clock)
        return names[0], names[-1]

    def passes(
        self, before: str, after: str, rate: float, *, many: float = 1.0, clock: str = ""
    ) -> None:
        """Let each of ``before`` become ``many`` of ``after`` at a rate [1/h]."""
        self.flows.append((before, after, rate, many, clock))

    def bears(self, before: str, after: str, rate: float, *, clock: str = "") -> None:
        """Let each of ``before`` bear one of ``after`` at a rate [1/h], and stay."""
        self.flows.append((before, after, -rate, 1.0, clock))

    def matrix(self, speed: dict[str, float]) -> Floats:
        """Return the matrix of the linear equation at these speeds of the clocks."""
        place = {name: k for k, name in enumerate(self.steps)}
        rates = np.zeros((len(place), len(place)))
        for before, after, rate, many, clock in self.flows:
            flow = abs(rate) * speed.get(clock, 1.0)
            if rate > 0:
                rates[place[before], place[before]] -= flow
            if after:
                rates[place[after], place[before]] += flow * many
        return rates

    def run(
        self,
        start: dict[str, float],
        speeds: list[dict[str, float]],
        done: dict[int, list[tuple[str, float]]] | None = None,
    ) -> dict[str, Floats]:
        """Return expected numbers of each stage at the start of each hour and at the end.

        Args:
            start: numbers by step.
            speeds: of each clock in each hour ("" is the wall clock).
            done: by hour, (stage, share removed) at its start.
        """
        state = np.asarray([start.get(name, 0.0) for name in self.steps])
        rows, solved = [state], {}
        for hour, speed in enumerate(speeds):
            keep = np.ones(state.size)
            for stage, share in (done or {}).get(hour, []):
                keep *= [1 - share if n.split(".")[0] == stage else 1.0 for n in self.steps]
            key = tuple(sorted(speed.items()))
            if key not in solved:
                solved[key] = expm(self.matrix(speed))
            state = solved[key] @ (state * keep)
            rows.append(state)
        table = np.asarray(rows)
        stages = [name.split(".")[0] for name in self.steps]
        return {
            name: table[:, [k for k, s in enumerate(stages) if s == name]].sum(axis=1)
            for name in dict.fromkeys(stages)
        }
