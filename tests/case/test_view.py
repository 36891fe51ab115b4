"""What a case says of itself: its main water, how warm it is, what it is called."""

from __future__ import annotations

import json
from collections.abc import Mapping

import pytest

from tankside.case import CaseView, decode, fold

HEAD = '{"format":"tankside-case","version":1}'


def view_of(*entries: Mapping[str, object], name: str = "Weir") -> CaseView:
    opened = {
        "kind": "opened", "name": name, "keeper": "a keeper", "water": "fresh", "zone": "UTC",
    }  # fmt: skip
    stamp = {"by": "me", "recorded_at": "2026-05-01T10:00:00Z",
             "occurred_at": "2026-05-01T10:00+00:00"}  # fmt: skip
    rows = [stamp | {"id": number} | dict(e) for number, e in enumerate((opened, *entries), 1)]
    return fold(
        decode("".join(f"{line}\n" for line in (HEAD, *map(json.dumps, rows))).encode("utf-8"))
    )


def system(key: str, **fields: object) -> dict[str, object]:
    return {"kind": "system", "system": key, **fields}


def warmth(key: str, value: str | None) -> dict[str, object]:
    if value is None:
        reading: dict[str, object] = {"what": "temperature", "state": "keeper_does_not_know"}
    else:
        reading = {"what": "temperature", "state": "answered",
                   "amount": {"value": value, "unit": "C"}}  # fmt: skip
    return {"kind": "water_test", "system": key, "readings": [reading]}


def test_without_a_system_there_is_no_main_water() -> None:
    assert view_of().main is None


def test_the_system_called_main_is_the_one_unless_another_is_told_to_be() -> None:
    plain = view_of(system("tub"), system("main"))
    assert plain.main is plain.systems["main"]
    assert plain.systems["tub"].use == ""
    assert view_of(system("hospital")).systems["hospital"].use == "hospital"
    other = view_of(system("display", use="main"), system("tub"))
    assert other.main is other.systems["display"]
    moved = view_of(system("main", use="quarantine"), system("display", use="main"))
    assert moved.main is moved.systems["display"]


@pytest.mark.parametrize(
    ("key", "name", "shown"),
    [("main", None, "the tank"), ("main", "Reef", "Reef"), ("spare_tub", None, "spare tub")],
)
def test_a_system_is_called_by_its_name_or_else_in_words(
    key: str, name: str | None, shown: str
) -> None:
    fields = {} if name is None else {"name": name}
    assert view_of(system(key, **fields)).systems[key].name == shown


def test_a_temperature_that_the_keeper_does_not_know_is_no_temperature() -> None:
    measured = view_of(system("main"), warmth("main", "24.2")).systems["main"].temperature
    assert measured is not None
    assert measured.number("C") == 24.2
    assert view_of(system("main"), warmth("main", None)).systems["main"].temperature is None
    assert view_of(system("main")).systems["main"].temperature is None


@pytest.mark.parametrize(
    ("name", "example", "bare"),
    [
        ("EXAMPLE: Kiln Lane", True, "Kiln Lane"), ("EXAMPLE Kiln Lane", True, "Kiln Lane"),
        ("Kiln Lane", False, "Kiln Lane"), ("EXAMPLE", True, "EXAMPLE"),
    ],
)  # fmt: skip
def test_an_invented_case_is_known_by_its_name(name: str, example: bool, bare: str) -> None:
    view = view_of(name=name)
    assert (view.example, view.bare_name) == (example, bare)
