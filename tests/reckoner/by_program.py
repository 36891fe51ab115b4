"""The program's own figures for a history: by its fold, or typed at its command line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tests.reckoner.typed_words import FIRST, Row
from tests.scenarios.conftest import Ran

from tankside.case import CaseView, Entry, entry_from, fold
from tankside.case.typed_entry import split_words, typed_entries
from tankside.case.typed_value import Door
from tankside.claims import Knowledge
from tankside.course import System
from tankside.intake.bodies_of_water import body_of_water, unmeasured
from tankside.intake.joined_waters import joined_waters
from tankside.quantity.moment import Moment

YEAR = datetime(2026, 1, 1, tzinfo=UTC)
WRITTEN = datetime(2026, 12, 1, tzinfo=UTC)
BEGAN = Moment("2026-03-02T00:00+00:00", day_only=True)
STAMP = {"recorded_at": "2026-12-01T00:00:00Z", "by": "test"}
OPENING = {
    "kind": "opened", "name": "Quay Lane", "keeper": "T. Orme", "water": "fresh", "zone": "UTC",
    "occurred_at": BEGAN.text, "day_only": True,
}  # fmt: skip
Edges = tuple[float, float]
Shown = dict[str, dict[str, tuple[Edges, Edges, Edges] | None]]
"""System, agent, (low, high) in the smaller, point and larger volume; None: nobody knows."""


def moment_of(minute: int) -> Moment:
    return Moment((YEAR + timedelta(minutes=minute)).isoformat(timespec="minutes"))


def folded(rows: Sequence[Row]) -> CaseView:
    """Return the case of a history, its lines read by the grammar of the command line."""
    entries: list[Entry] = [entry_from({"id": 1, **STAMP, **OPENING})]
    names: list[str] = []
    for number, row in enumerate(rows, FIRST):
        door = Door("UTC", WRITTEN, BEGAN, BEGAN, False, {}, tuple(names))
        entries.append(_entry(number, row, door))
        if row.kind == "system":
            names.append(row.words[1])
    return fold(entries)


NO_ASKING = "E-COURSE-05"
"""An answer names the number of an amount that was not shown, and so not kept."""


def _entry(number: int, row: Row, door: Door) -> Entry:
    if row.of is None:
        return entry_from({"id": number, **STAMP, **_fields(row, door)})
    fields: dict[str, object] = {"id": number, **STAMP, "kind": "correction", "of": row.of}
    fields |= {"occurred_at": WRITTEN.isoformat(timespec="minutes"), "reason": "slip of the pen"}
    if row.words:
        fields["replacement"] = {"id": row.of, **STAMP, **_fields(row, door)}
    return entry_from(fields)


def _fields(row: Row, door: Door) -> dict[str, object]:
    (fields,) = typed_entries(row.kind, split_words(row.words[1:]), door)
    return fields


def typed_in(run: Callable[..., Ran], path: Path, rows: Sequence[Row]) -> list[Row]:
    """Type a history at the command line, line by line.

    Returns:
        The rows as they stand in the case: a note in place of every amount that was not shown,
        and of every answer to one of those.
    """
    opening = ("--name", "Quay Lane", "--keeper", "T. Orme", "--water", "fresh", "--zone", "UTC")
    ran = run("case", "new", str(path), *opening, "--opened", "2026-03-02")
    assert ran.code == 0, ran.err
    kept = []
    for row in rows:
        ran = run("case", "add", str(path), *typed_words(row))
        if ran.code != 0 and (row.kind == "dose" or NO_ASKING in ran.err):
            row = Row(("note", "not shown", f"on={row.keys['on']}"))
            ran = run("case", "add", str(path), *row.words)
        assert ran.code == 0, (row, ran.err, ran.out)
        kept.append(row)
    return kept


def typed_words(row: Row) -> list[str]:
    if row.of is None:
        return list(row.words)
    way = "--correct" if row.words else "--void"
    return [way, str(row.of), "--reason", "slip of the pen", *row.words]


def in_waters(view: CaseView, facts: Knowledge, now: int) -> Shown:
    """Return what the program has in each water at a minute."""
    zero = moment_of(now)
    bodies = (parts for parts in joined_waters(view).bodies() if not unmeasured(view, parts))
    return {
        part: edges
        for parts in bodies
        for edges in (_edges(body_of_water(view, facts, zero, parts)),)
        for part in parts
    }


def _edges(system: System) -> dict[str, tuple[Edges, Edges, Edges] | None]:
    return {
        lot.agent: None if lot.high_mg_l is None else (lot.edges(-1), lot.edges(0), lot.edges(1))
        for lot in system.residues
    }
