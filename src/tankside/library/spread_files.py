"""Spread files: what ties the spread of a parasite together in print, and the rows drawn from it.

``data/spread/<organism>.toml`` states the open quantities and the printed experiments,
``<organism>.csv`` beside it the rows that fit them all, written by ``tankside bench spread``.
"""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from pathlib import Path
from types import MappingProxyType
from typing import Any

from tankside.claims.organism import JointRows
from tankside.library.problem import Problem

FOLDER = "spread"
_NOTHING_OPEN: Mapping[str, tuple[float, float]] = MappingProxyType({})
_NO_SETTINGS: Mapping[str, float] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class NumberReading:
    """One way to read what a paper prints, and how much it is believed."""

    name: str
    weight: float
    says: str = ""


@dataclass(frozen=True, slots=True)
class OpenQuantity:
    """A quantity before the experiments: even by ratio from low to high, or about a middle.

    Args:
        name: as the generation model calls it.
        claim: key of the claim it stands behind; "" for one that only links experiments.
        low: least; 0 where ``middle`` is stated.
        high: most.
        middle: median of a lognormal.
        log_sd: its spread in natural logs.
        source: key of the work; "" for an estimate.
        says: what the range rests on.
    """

    name: str
    claim: str = ""
    low: float = 0.0
    high: float = 0.0
    middle: float = 0.0
    log_sd: float = 0.0
    source: str = ""
    says: str = ""


@dataclass(frozen=True, slots=True)
class PrintedExperiment:
    """What one paper leaves open.

    Args:
        source: key of the work.
        host: name of the quantity that multiplies its load; "" for the host of reference.
        scatter: spread of its load in natural logs, beyond what is modelled.
        open: range by name (weight_g, litres_per_fish, dose, ...), even by ratio.
    """

    source: str
    host: str = ""
    scatter: float = 0.0
    open: Mapping[str, tuple[float, float]] = field(default_factory=lambda: _NOTHING_OPEN)


@dataclass(frozen=True, slots=True)
class PrintedRow:
    """One printed result.

    Args:
        source: key of the work.
        says: the result in words.
        quantity: what was observed, as the generation model calls it.
        begin: what the fish met: swimmers, swimmers_per_l, mature, challenge, burden.
        settings: dose, hours, days, temperature_c, litres_per_fish, weight_g, flow_per_h,
            share_of_stay where printed; what is absent is open in the experiment.
        dead: fish dead of ``of``.
        of: fish; 0 where no deaths were counted.
        above: the quantity was above this.
        below: the quantity was below this.
        about: values it was measured at, rivals side by side.
        log_sd: error of each in natural logs (one for above and below).
        weights: of the rivals.
        does_not_carry_over: chance that the result says nothing of other tanks.
    """

    source: str
    says: str
    quantity: str
    begin: str = ""
    settings: Mapping[str, float] = field(default_factory=lambda: _NO_SETTINGS)
    dead: int = 0
    of: int = 0
    above: float = 0.0
    below: float = 0.0
    about: tuple[float, ...] = ()
    log_sd: tuple[float, ...] = ()
    weights: tuple[float, ...] = (1.0,)
    does_not_carry_over: float = 0.0


@dataclass(frozen=True, slots=True)
class DerivedClaim:
    """A claim that follows from a number per fish in print, as each reading has it.

    Args:
        claim: its key.
        source: key of the work that prints the number.
        like: the experiment whose fish and water it is taken to share.
        low: least number per fish.
        high: most.
        says: the result in words.
    """

    claim: str
    source: str
    like: str
    low: float
    high: float
    says: str


@dataclass(frozen=True, slots=True)
class SpreadPlan:
    """What a fit needs: readings, open quantities, experiments and their printed rows.

    ``derived`` holds the claims that the draws lead to and that no row speaks of.
    """

    organism: str
    note: str
    readings: tuple[NumberReading, ...]
    quantities: tuple[OpenQuantity, ...]
    experiments: tuple[PrintedExperiment, ...]
    rows: tuple[PrintedRow, ...]
    derived: tuple[DerivedClaim, ...] = ()


def spread_plan(root: Path, organism: str) -> SpreadPlan:
    """Read the plan of one organism.

    Args:
        root: the data folder.
        organism: its id.

    Raises:
        FileNotFoundError: it has none.
    """
    content = tomllib.loads((root / FOLDER / f"{organism}.toml").read_text(encoding="utf-8"))
    return SpreadPlan(
        organism=content["spread"]["organism"],
        note=content["spread"]["note"],
        readings=tuple(NumberReading(**record) for record in content["reading"]),
        quantities=tuple(OpenQuantity(**record) for record in content["quantity"]),
        experiments=tuple(_experiment(record) for record in content["experiment"]),
        rows=tuple(_row(record) for record in content["row"]),
        derived=tuple(DerivedClaim(**record) for record in content.get("derived", ())),
    )


def _experiment(record: Mapping[str, Any]) -> PrintedExperiment:
    ranges = {name: (float(low), float(high)) for name, (low, high) in record["open"].items()}
    return PrintedExperiment(**(dict(record) | {"open": ranges}))


def _row(record: Mapping[str, Any]) -> PrintedRow:
    names = {column.name for column in fields(PrintedRow)}
    shaped = {name: value for name, value in record.items() if name in names}
    for name in ("about", "log_sd", "weights"):
        if name in shaped:
            value = shaped[name]
            shaped[name] = tuple(value) if isinstance(value, list) else (float(value),)
    settings = {name: float(value) for name, value in record.items() if name not in names}
    return PrintedRow(**shaped, settings=settings)


def joint_rows(root: Path, organism: str, problems: list[Problem]) -> JointRows | None:
    """Return the rows that were drawn for an organism; None where there is no table.

    Args:
        root: the data folder.
        organism: its id.
        problems: faults found are added here.
    """
    path = root / FOLDER / f"{organism}.csv"
    if not path.exists():
        return None
    with path.open(encoding="utf-8", newline="") as lines:
        names, *cells = list(csv.reader(lines))
    try:
        rows = tuple(tuple(float(cell) for cell in row) for row in cells)
    except ValueError as why:
        problems.append(_fault(organism, f"a cell is no number: {why}."))
        return None
    if not rows or any(len(row) != len(names) for row in rows):
        problems.append(_fault(organism, "the rows are not of one length, or there are none."))
        return None
    return JointRows(tuple(names), rows)


def _fault(organism: str, why: str) -> Problem:
    return Problem(
        "spread", f"{FOLDER}/{organism}.csv", "", why, "write it anew: tankside bench spread."
    )
