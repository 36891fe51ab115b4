"""Diaries of filters that were started without fish, as what a filter is supplied with."""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tankside.water.nitrifiers import NitrogenSupply

Floats = NDArray[np.float64]
GOLDEN = Path(__file__).parents[1] / "golden"
DAYS = 33
IN_N = np.array([14.007 / 17.031, 14.007 / 46.005, 14.007 / 62.004])
"""Shares of nitrogen in NH3, NO2 and NO3, by atomic weights (IUPAC)."""
ANALYTES = ("total_ammonia", "nitrite", "nitrate")
TOP_OF_SCALE = 5.0
SMALLEST_STEP = 0.25
"""The first step above none of the drop tests that the keepers used [mg/L]."""
DIARIES: Mapping[str, dict[str, Any]] = tomllib.loads(
    (GOLDEN / "cycling_diaries.toml").read_text(encoding="utf-8")
)


@dataclass(frozen=True)
class Reading:
    """A reading of a diary, with what counts as met."""

    diary: str
    analyte: str
    day: float
    value: float
    tol_abs: float
    tol_rel: float

    def is_met(self, foretold: float) -> bool:
        """Whether a forecast lies within the tolerance that was set for the reading."""
        if self.analyte == "nitrite" and self.value >= TOP_OF_SCALE <= foretold:
            return True
        return abs(foretold - self.value) <= max(self.tol_abs, self.tol_rel * self.value)

    @property
    def hour(self) -> int:
        """The hour it is compared at: in diary A just before the dose of the day."""
        early = self.diary == "A" and self.day not in (0, 10)
        return round(self.day * 24) - early


def readings() -> Iterator[Reading]:
    """Yield the readings of ammonia and nitrite of every diary whose doses are told."""
    for row in _rows():
        if row["compare"] == "yes" and row["analyte"] in ANALYTES[:2]:
            yield Reading(row["diary"], row["analyte"], float(row["day"]), float(row["value"]),
                          float(row["tol_abs"]), float(row["tol_rel"]))  # fmt: skip


def events() -> dict[tuple[str, str], tuple[float, float]]:
    """Return (day, days of tolerance) of each event of a diary whose doses are told."""
    return {
        (row["diary"], row["analyte"].removeprefix("event: ")): (
            float(row["day"]), float(row["tol_abs"]))
        for row in _rows() if row["compare"] == "yes" and row["analyte"].startswith("event")
    }  # fmt: skip


def _rows() -> list[dict[str, str]]:
    text = (GOLDEN / "cycling_readings.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in text if not line.startswith("#")))


def supply(name: str, lanes: int, more: tuple[tuple[float, str, float], ...] = (),
           alkalinity: float = np.inf) -> NitrogenSupply:  # fmt: skip
    """Return what the filter of a diary is supplied with, the same in every lane."""
    diary, hours = DIARIES[name], DAYS * 24
    keep, gain = np.ones((3, hours)), np.zeros((3, hours))
    keep[:, 0] = 0
    gain[2, 0] = diary["nitrate"] * IN_N[2]
    for day, kind, amount in sorted((*map(tuple, diary["doses"]), *more)):
        hour = round(day * 24)
        if kind == "change":
            keep[:, hour] *= 1 - amount
            gain[:, hour] *= 1 - amount
        elif kind == "set":
            keep[0, hour], gain[0, hour] = 0, amount * IN_N[0]
        else:
            gain[0, hour] += amount * IN_N[0]
    ph = np.empty(hours)
    for day, value in diary["ph"]:
        ph[round(day * 24) :] = value
    wide = np.ones((lanes, 1))
    return NitrogenSupply(
        keep[:, None, :] * wide, gain[:, None, :] * wide, np.zeros((lanes, hours)),
        np.full((lanes, hours), diary["temperature_c"]), ph * wide, np.full(lanes, alkalinity),
    )  # fmt: skip
