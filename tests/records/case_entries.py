"""Entries of an invented case for the tests of the stores."""

from __future__ import annotations

from tankside.case import Entry, entry_from


def entry(number: int, /, kind: str = "note", **fields: object) -> Entry:
    """Return an entry of a case; a note says its number."""
    base = {"id": number, "kind": kind, "occurred_at": "2026-03-02T12:00+00:00", "by": "me"}
    if kind == "note":
        fields = {"text": f"note {number}"} | fields
    return entry_from(base | {"recorded_at": "2026-03-30T10:00:00Z"} | fields)


def opened(name: str = "Elm Road", keeper: str = "Marta Vell", **fields: object) -> Entry:
    """Return the opening of a case."""
    said = {"name": name, "keeper": keeper, "water": "fresh", "zone": "Europe/London"}
    return entry(1, "opened", **(said | fields))
