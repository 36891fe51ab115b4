"""Tables of the differential kept as rows: cells of causes, odds of kinds of fish, look-alikes."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from tankside.claims import Provenance
from tankside.claims.diagnosis import Cell, Chance
from tankside.claims.looking import FishKind, Sitting, SpeciesOdds, Twin
from tankside.library.problem import Problem

CELL_COLUMNS = (
    "finding", "answer", "chance", "low", "high", "provenance", "sources", "note",
)  # fmt: skip
ODDS_COLUMNS = (
    "species", "condition", "relation", "factor", "low", "high", "strength", "provenance",
    "sources", "note",
)  # fmt: skip
TWIN_COLUMNS = (
    "twin", "name", "group", "weight", "low", "high", "looks_like", "parted_by", "provenance",
    "sources",
)  # fmt: skip
_SITTING = (
    "id", "label", "minutes", "shared", "invasiveness", "equipment", "order", "days",
    "pitfalls", "sources",
)  # fmt: skip
SPARED = ("resistant", "not known to")
_KIND = ("id", "name", "latin", "water", "group", "hosts")


def read_cells(root: Path, problems: list[Problem]) -> Mapping[str, tuple[Cell, ...]]:
    """Return the cells kept as rows, by condition (the file's name).

    Args:
        root: data folder.
        problems: faults found are added here.
    """
    by_condition: dict[str, tuple[Cell, ...]] = {}
    for path in sorted((root / "cells").glob("*.csv")):
        rows = list(_rows(path, CELL_COLUMNS, problems))
        by_finding: dict[str, list[dict[str, str]]] = {}
        for row in rows:
            by_finding.setdefault(row["finding"], []).append(row)
        by_condition[path.stem.upper()] = tuple(
            _cell(finding, of_one) for finding, of_one in by_finding.items()
        )
    return by_condition


def _cell(finding: str, rows: list[dict[str, str]]) -> Cell:
    first = rows[0]
    answers = {
        r["answer"]: Chance(float(r["chance"]), float(r["low"]), float(r["high"])) for r in rows
    }
    return Cell(
        finding,
        MappingProxyType(answers),
        tuple(first["sources"].split()),
        Provenance(first["provenance"]),
        first["note"],
    )


def read_kinds(root: Path, listed: list[Any], problems: list[Problem]) -> Mapping[str, FishKind]:
    """Return kinds of fish with their odds per cause, by id.

    Args:
        root: data folder.
        listed: records of ``diagnosis/species.toml``.
        problems: faults found are added here.
    """
    odds: dict[str, dict[str, SpeciesOdds]] = {}
    for row in _rows(root / "diagnosis/species_odds.csv", ODDS_COLUMNS, problems):
        spared = row["relation"] in SPARED and row["strength"] == "strong"
        factor = SpeciesOdds(float(row["factor"]), float(row["low"]), float(row["high"]), spared)
        odds.setdefault(row["species"], {})[row["condition"]] = factor
    kinds = {}
    for record in listed:
        if not _closed(record, _KIND, "diagnosis/species.toml", problems):
            continue
        kinds[record["id"]] = FishKind(
            record["id"],
            record["name"],
            record["water"],
            record["group"],
            tuple(record["hosts"]),
            MappingProxyType(odds.pop(record["id"], {})),
        )
    file = "diagnosis/species_odds.csv"
    problems.extend(
        Problem("species", file, stray, "no kind has this id.", "add it.") for stray in odds
    )
    return MappingProxyType(kinds)


def read_twins(root: Path, problems: list[Problem]) -> tuple[Twin, ...]:
    """Return the causes that look like listed ones.

    Args:
        root: data folder.
        problems: faults found are added here.
    """
    return tuple(
        Twin(
            row["twin"],
            row["name"],
            float(row["weight"]),
            tuple(row["looks_like"].split()),
            row["parted_by"],
        )
        for row in _rows(root / "diagnosis/twins.csv", TWIN_COLUMNS, problems)
    )


def read_sittings(listed: list[Any], problems: list[Problem]) -> Mapping[str, Sitting]:
    """Return the sittings by id, in the order of manuals.

    Args:
        listed: records of ``diagnosis/sittings.toml``.
        problems: faults found are added here.
    """
    sittings = {}
    for record in sorted(listed, key=lambda r: r["order"]):
        if not _closed(record, _SITTING, "diagnosis/sittings.toml", problems):
            continue
        sittings[record["id"]] = Sitting(**{**record, "sources": tuple(record["sources"])})
    return MappingProxyType(sittings)


def _rows(
    path: Path, columns: tuple[str, ...], problems: list[Problem]
) -> Iterator[dict[str, str]]:
    file = f"{path.parent.name}/{path.name}"
    try:
        with path.open(encoding="utf-8", newline="") as lines:
            table = csv.DictReader(lines)
            if tuple(table.fieldnames or ()) != columns:
                problems.append(
                    Problem("columns", file, "", f"the columns are {table.fieldnames}.",
                            f"use exactly {','.join(columns)}.")
                )  # fmt: skip
                return
            yield from table
    except OSError as why:
        problems.append(Problem("readable", file, "", f"cannot be read: {why}.", "restore it."))


def _closed(
    record: Mapping[str, Any], needed: tuple[str, ...], file: str, problems: list[Problem]
) -> bool:
    """Whether a record has just the fields needed; else a fault is added."""
    if set(record) != set(needed):
        odd = sorted(set(record) ^ set(needed))
        problems.append(
            Problem("fields", file, str(record.get("id")), f"wrong fields {odd}.", "correct them.")
        )
        return False
    return True
