"""Cases made up by a seeded generator: every kind of entry, any script, corrections."""

from __future__ import annotations

import random
import shlex
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest

from tankside.case import CATALOGUE, Entry, entry_from
from tankside.case.catalogue import Catalogue
from tankside.case.typed_entry import split_words, typed_entries
from tankside.case.typed_value import Door
from tankside.quantity.moment import Moment

BEGAN = datetime(2026, 3, 2, tzinfo=UTC)
NAMES = ("O'Brien", "Łódź", "李", "<b>bold</b>", "=SUM(A1)", "Elm Road", "🐟 tank", "a" * 200)
FINDINGS = ("spot_size", "flashing", "m_big_ciliate", "mortality", "never_heard_of")
ANSWERS = ("grain", "dust", "frequent", "rising_daily", "5_to_30")
READINGS = (
    ("temperature", "C", None), ("ph", "pH", None), ("ammonia", "mg/L", "as N"),
    ("nitrite", "mg/L", "as NO2"), ("alkalinity", "dH", None), ("salinity", "g/L", None),
)  # fmt: skip


def amount(value: str, unit: str, basis: str | None = None) -> dict[str, str]:
    return {"value": value, "unit": unit} | ({"basis": basis} if basis else {})


def number(r: random.Random, low: int = 1, high: int = 9) -> str:
    return r.choice([f"{r.randint(low, high)}", f"{r.randint(low, high)}.{r.randint(0, 99):02d}"])


def looked(r: random.Random) -> dict[str, object]:
    state = r.choice(["answered", "none", "not_looked", "keeper_does_not_know"])
    drawn: dict[str, object] = {"finding": r.choice(FINDINGS), "state": state}
    if state == "answered":
        drawn["answers"] = r.sample(ANSWERS, r.randint(1, 3))
        if r.random() < 0.3:
            drawn["number"] = r.randint(0, 90)
    return drawn


def reading(r: random.Random, what: str, unit: str, basis: str | None) -> dict[str, object]:
    if r.random() < 0.2:
        return {"what": what, "state": r.choice(["not_looked", "keeper_does_not_know"])}
    return {"what": what, "amount": amount(number(r, 4, 9), unit, basis)}


def volume(r: random.Random) -> list[dict[str, object]]:
    rooms = [{"what": r.choice(NAMES), "volume": amount(number(r), "L")}]
    box = {side: amount(number(r, 40, 90), "cm") for side in ("inside_length", "inside_width")}
    ways: list[dict[str, object]] = [
        {"method": "geometry", **box, "water_height": amount("35", "cm"), "takes_away": rooms},
        {"method": "hose", "flow": amount(number(r), "L/min"), "time": amount(number(r), "min")},
        {"method": "salt_rise", "salt": amount("500", "g"), "rise": amount("0.90", "g/L")},
        {"method": "label", "volume": amount(number(r), "US gal")},
    ]
    return ways[r.randint(0, 3) :]


SHAPES: dict[str, Callable[[random.Random], dict[str, object]]] = {
    "system": lambda r: {
        "system": r.choice(["main", "hospital"]), "volume": volume(r),
        "carbon": r.choice(["yes", "no", "keeper_does_not_know"]),
    },
    "stock": lambda r: {
        "group": r.choice(["loach", "tetra"]), "name": r.choice(NAMES),
        "count": r.randint(50, 90), "length": amount(number(r), "cm"),
    },
    "event": lambda r: {"what": r.choice(NAMES), "topic": "hose"},
    "finding": lambda r: {"looked": looked(r), "fish": r.choice(NAMES)},
    "water_test": lambda r: {
        "readings": [reading(r, *line) for line in r.sample(READINGS, r.randint(1, 5))]
    },
    "wet_mount": lambda r: {"sample": "gill_clip", "looks": [looked(r)], "examined": 3},
    "count": lambda r: r.choice([
        {"what": "spots", "number": r.randint(0, 90)},
        {"what": "spots", "mean": number(r)},
        {"what": "flukes", "method": "gill_clip", "examined": 5, "infected": r.randint(0, 5)},
        {"what": "spots", "state": "not_looked"},
    ]),
    "photo": lambda r: {"file": f"{r.randint(1, 99)}.jpg", "of": r.choice(NAMES)},
    "agent_in_water": lambda r: r.choice([
        {"state": "none"},
        {"agent": r.choice(NAMES), "amount_state": "keeper_does_not_know"},
        {"agent": "salt", "amount_state": "answered", "amount": amount(number(r), "g")},
    ]),
    "label_read": lambda r: {
        "agent": r.choice(["salt", "formalin"]), "strength": r.choice(["pure", "37 % w/v"]),
        "scale": amount(number(r), "g"), "expires": f"2027-0{r.randint(1, 9)}-28",
        "seen_to": [{"need": "clear_solution", "answer": r.choice(["yes", "no"])}],
    },
    "dose_asked": lambda r: {
        "agent": "salt", "strength": f"{number(r)} g/L", "reason": r.choice(NAMES),
        "water_changed": amount(number(r), "L"),
    },
    "course_chosen": lambda r: {
        "name": r.choice(NAMES), "starts_at": "2026-03-03T18:00+00:00", "seed": r.randint(0, 9),
        "course": {"days": r.randint(1, 40), "share": r.random(), "x": None, "list": [], "n": {}},
    },
    "action_done": lambda r: {
        "action": r.choice(NAMES), "state": "other_amount", "amount": amount(number(r), "g")
    },
    "water_moved": lambda r: {
        "moved": amount(number(r), "L"), "source": "main", "system": "hospital",
        "refilled": r.choice(["yes", "no", "keeper_does_not_know"]),
    },
    "death": lambda r: {"number": r.randint(0, 2), "group": r.choice(["loach", "tetra", "eel"])},
    "diagnosis_confirmed": lambda r: {"condition": "ICH", "shown_by": r.choice(NAMES)},
    "decision": lambda r: {"what": "go_on", "reason": r.choice(NAMES)},
    "note": lambda r: {"text": r.choice(["line\nline\ttab", *NAMES, "x" * 10_000])},
}  # fmt: skip


def stamp(r: random.Random, number: int, kind: str, fields: dict[str, object]) -> dict[str, object]:
    at = BEGAN + timedelta(minutes=number + r.randint(0, 20) * 1000 * r.randint(0, 1))
    offset = r.choice(["+00:00", "+05:45", "Z"])
    if offset == "+05:45":
        at += timedelta(hours=5, minutes=45)
    text = at.isoformat(timespec="minutes").removesuffix("+00:00") + offset
    return {
        "id": number, "kind": kind, "occurred_at": text, "by": r.choice(NAMES),
        "recorded_at": "2026-03-30T10:00:00Z", **fields,
    }  # fmt: skip


def generated(seed: int) -> tuple[Entry, ...]:
    """Return a case of 2 to 14 entries and up to 3 corrections; the same seed, the same case."""
    r = random.Random(seed)
    opened: dict[str, object] = {
        "name": r.choice(NAMES), "keeper": r.choice(NAMES), "water": "fresh",
        "zone": "Europe/London", "day_only": True, "occurred_at": "2026-03-02T00:00+00:00",
    }  # fmt: skip
    drawn = [stamp(r, 1, "opened", opened)]
    for _ in range(r.randint(1, 13)):
        kind = r.choice(list(SHAPES))
        fields = SHAPES[kind](r)
        if kind == "count":
            fields = fields | {"fish": f"fish {len(drawn)}"}
        drawn.append(stamp(r, len(drawn) + 1, kind, fields))
    for _ in range(r.randint(0, 3)):
        old = r.choice([entry for entry in drawn if entry["kind"] in SHAPES])
        fields = {"of": old["id"], "reason": r.choice(NAMES)}
        if r.random() < 0.7:
            again = SHAPES[str(old["kind"])](r)
            again |= {"fish": old["fish"]} if old["kind"] == "count" else {}
            fields["replacement"] = stamp(r, int(str(old["id"])), str(old["kind"]), again)
        drawn.append(stamp(r, len(drawn) + 1, "correction", fields))
    return tuple(entry_from(entry) for entry in drawn)


@pytest.fixture(scope="session")
def make_case() -> Callable[[int], tuple[Entry, ...]]:
    return generated


@pytest.fixture
def entry() -> Callable[..., Entry]:
    """Return a maker of one entry from its number, kind and fields."""

    def make(
        at_number: int, kind: str, at: str = "2026-03-02T12:00+00:00", /, **fields: object
    ) -> Entry:
        base = {"id": at_number, "kind": kind, "occurred_at": at, "by": "me"}
        return entry_from(base | {"recorded_at": "2026-03-30T10:00:00Z"} | fields)

    return make


@pytest.fixture
def opened(entry: Callable[..., Entry]) -> Entry:
    return entry(
        1, "opened", "2026-03-02T00:00+00:00", name="Elm Road", keeper="Marta Vell",
        water="fresh", zone="Europe/London", day_only=True,
    )  # fmt: skip


@pytest.fixture(scope="session")
def door() -> Door:
    """Return what typed text needs in a case opened on 2 March 2026, long ago."""
    began = Moment("2026-03-02T00:00+00:00", day_only=True)
    return Door("Europe/London", datetime(2028, 1, 1, tzinfo=UTC), began, began)


@pytest.fixture(scope="session")
def made(door: Door) -> Callable[..., list[Entry]]:
    """Return a maker of entries from a kind and its keys and values."""

    def make(
        kind: str, words: list[tuple[str, str]], catalogue: Catalogue = CATALOGUE
    ) -> list[Entry]:
        stamp = {"id": 2, "recorded_at": "2028-01-01T00:00:00Z", "by": "me"}
        drawn = typed_entries(kind, words, door, catalogue)
        return [entry_from(stamp | fields, catalogue) for fields in drawn]

    return make


@pytest.fixture(scope="session")
def typed(made: Callable[..., list[Entry]]) -> Callable[..., list[Entry]]:
    """Return a maker of entries from one typed line."""

    def make(text: str, catalogue: Catalogue = CATALOGUE) -> list[Entry]:
        kind, *words = shlex.split(text)
        return made(kind, split_words(words), catalogue)

    return make
