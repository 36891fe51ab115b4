"""The source register: tables of works under ``data/sources``, one key per work."""

from __future__ import annotations

import csv
from pathlib import Path

from tankside.claims import Provenance, Source
from tankside.library.problem import Problem

COLUMNS = ("key", "citation", "doi", "where", "status", "note")
_STATUS = {str(p): p for p in Provenance}


def read_sources(root: Path, problems: list[Problem]) -> dict[str, Source]:
    """Read every table of the register.

    Args:
        root: the data folder.
        problems: faults found are added here.

    Returns:
        Works by key.
    """
    works: dict[str, Source] = {}
    for path in sorted((root / "sources").glob("*.csv")):
        file = f"sources/{path.name}"
        with path.open(encoding="utf-8", newline="") as lines:
            table = csv.DictReader(lines)
            if tuple(table.fieldnames or ()) != COLUMNS:
                problems.append(
                    Problem(
                        "columns",
                        file,
                        "",
                        f"the columns are {table.fieldnames}.",
                        f"use exactly {','.join(COLUMNS)}.",
                    )
                )
                continue
            for row in table:
                _add(works, row, file, problems)
    return works


def _add(works: dict[str, Source], row: dict[str, str], file: str, problems: list[Problem]) -> None:
    key = row["key"]
    if None in row or None in row.values():
        problems.append(
            Problem("columns", file, key, "the row has a wrong number of cells.", "quote commas.")
        )
        return
    if key in works:
        problems.append(
            Problem(
                "source_twice",
                file,
                key,
                "the source is registered twice.",
                "keep one row per work and merge the notes.",
            )
        )
    if row["status"] not in _STATUS:
        problems.append(
            Problem(
                "status",
                file,
                key,
                f"status is {row['status']!r}.",
                f"write one of {', '.join(_STATUS)}.",
            )
        )
        return
    works[key] = Source(
        key, row["citation"], row["doi"], row["where"], _STATUS[row["status"]], row["note"]
    )
