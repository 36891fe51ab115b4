"""Every figure of the differential says where it comes from: a work on file, or a judgement."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

import pytest

from tankside.claims import Provenance
from tankside.claims.diagnosis import Cell
from tankside.library import data_root, load

MARKS = {mark.value for mark in Provenance}
TABLES = sorted((data_root() / "cells").glob("*.csv"))
TABLES += [data_root() / "diagnosis" / name for name in ("species_odds.csv", "twins.csv")]


def unmarked(rows: list[dict[str, str]], works: set[str]) -> Iterator[str]:
    """Yield what is wrong with the origin of each row."""
    for number, row in enumerate(rows, 2):
        named = set(row["sources"].split())
        if row["provenance"] not in MARKS:
            yield f"{number}: no mark"
        if row["provenance"] == Provenance.FOUND and not named:
            yield f"{number}: said to be read somewhere, not where"
        if named - works:
            yield f"{number}: {sorted(named - works)} not in the register"


@pytest.mark.parametrize("table", TABLES, ids=lambda path: path.stem)
def test_every_row_carries_a_registered_source_or_a_mark(table: Path) -> None:
    with table.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    assert rows
    assert list(unmarked(rows, set(load().sources))) == []


@pytest.mark.parametrize(
    ("provenance", "sources", "wrong"),
    [
        ("", "kept", "2: no mark"),
        ("seen", "kept", "2: no mark"),
        ("found", " ", "2: said to be read somewhere, not where"),
        ("estimate", "gone", "2: ['gone'] not in the register"),
    ],
)
def test_a_row_without_origin_is_noticed(provenance: str, sources: str, wrong: str) -> None:
    rows = [{"provenance": provenance, "sources": sources}]
    assert list(unmarked(rows, {"kept"})) == [wrong]


def test_what_a_healthy_fish_and_a_bystander_show_names_its_works() -> None:
    """The question after the kind of fish alone has even chances, which say nothing."""
    facts = load()
    cells: list[tuple[str, Cell]] = [(f.id, f.baseline) for f in facts.findings.values()]
    cells += [(f.id, f.healthy) for f in facts.findings.values() if f.healthy is not None]
    without = {name for name, cell in cells if not cell.sources}
    assert without == {"host_species"}
    assert {key for _, cell in cells for key in cell.sources} <= facts.sources.keys()
