"""Ten invented cases as they are typed, from the call to the all-clear.

Each story holds the opening, what is told at the call, what happens on the days after, and on which
day of the case it is over by the printed or estimated rule of its protocol.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

CALL = date(2026, 7, 3)
MORNING = "T09:00"


def on(day: int, clock: str = MORNING) -> str:
    """Return a moment of a day, counted from the call."""
    return f"on={CALL + timedelta(days=day)}{clock}"


@dataclass(frozen=True)
class Story:
    """A case.

    Args:
        name: of the invented place.
        water: fresh or marine.
        at_call: entries at the call.
        after: entries of later days.
        over: day on which the rule of the protocol can be met; None where it never is.
        number: of the course of care that is chosen.
        label: what a label says; "" for none.
    """

    name: str
    at_call: tuple[tuple[str, ...], ...]
    after: tuple[tuple[str, ...], ...]
    over: int | None
    water: str = "fresh"
    number: int = 1
    label: str = ""


def tank(ripe: str = "yes") -> tuple[str, ...]:
    """Return an aquarium of 162 L by measure and by hose."""
    return ("system", "inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm",
            "hose=16.2 L/min for 10 min", "tap=chlorine", f"filter-ripe={ripe}", on(0))  # fmt: skip


POND = ("system", "inside-length=4 m", "inside-width=2.5 m", "water-height=1.1 m",
        "hose=20 L/min for 550 min", "tap=chlorine", "filter-ripe=yes", on(0))  # fmt: skip


def stock(name: str, count: int, length: str) -> tuple[str, ...]:
    """Return one group of fish."""
    return ("stock", f"name={name}", f"count={count}", f"length={length}", on(0))


def read(day: int, *values: str) -> tuple[str, ...]:
    """Return one test of the water."""
    return ("water", *values, on(day))


def clean(days: Iterator[int] | tuple[int, ...]) -> tuple[tuple[str, ...], ...]:
    """Return looks that show nothing and no death, on some days."""
    return tuple(row for day in days for row in (
        ("finding", "breathing=normal", on(day)), ("death", "0", on(day, "T10:00"))))  # fmt: skip


def well(days: tuple[int, ...]) -> tuple[tuple[str, ...], ...]:
    """Return tests of safe water on some days."""
    values = ("ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=7.4", "temperature=20 C",
              "oxygen=8.5 mg/L")  # fmt: skip
    return tuple(read(day, *values) for day in days)


STORIES = {
    "koi_virus": Story(
        "Mill Pond",
        (POND, stock("koi", 14, "35 cm"),
         read(0, "temperature=22 C", "oxygen=7.5 mg/L", "ammonia=0 mg/L as N",
              "nitrite=0 mg/L as N", "ph=7.6"),
         ("death", "3", "group=koi", on(0)),
         ("suspected", "condition=KHV", "shown-by=gills and deaths of koi alone", on(0))),
        (("death", "2", "group=koi", on(1)), ("death", "1", "group=koi", on(4)),
         *clean((7, 15, 16, 19))), 19,
    ),
    "nitrite": Story(
        "Sluice End",
        (tank(ripe="no"), stock("goldfish", 6, "8 cm"),
         ("event", "what=filter cleaned under the tap", on(0, "T07:30")),
         read(0, "nitrite=1.5 mg/L as N", "ammonia=0.5 mg/L as N", "ph=7.4", "temperature=19 C",
              "oxygen=7.5 mg/L", "chloride=25 mg/L"),
         ("confirmed", "condition=NITROGEN", "shown-by=water test", on(0))),
        (*well((1, 3, 5, 7, 14, 21, 28)), *clean((1, 3, 5, 7, 14, 21, 28))), 28,
        number=2, label="sodium_chloride=pure",
    ),
    "new_tank_ammonia": Story(
        "Loom Street",
        (tank(ripe="no"), stock("goldfish", 3, "6 cm"),
         read(0, "ammonia=3 mg/L as N", "nitrite=0 mg/L as N", "ph=7.8", "temperature=22 C",
              "oxygen=7.8 mg/L"),
         ("confirmed", "condition=NITROGEN", "shown-by=water test", on(0))),
        (*well((1, 3, 5, 7, 14, 21, 28)), *clean((1, 3, 5, 7, 14, 21, 28))), 28,
    ),
    "chlorine": Story(
        "Pump Lane",
        (tank(), stock("goldfish", 5, "7 cm"),
         read(0, "chlorine=0.8 mg/L", "temperature=19 C", "ph=7.4"),
         ("confirmed", "condition=CHLORINE", "shown-by=test of chlorine", on(0))),
        (read(1, "chlorine=0 mg/L"), *clean((0, 1, 2)), *well((1, 2))), 2,
    ),
    "dawn_oxygen": Story(
        "Heron Pool",
        (POND, stock("koi", 20, "45 cm"),
         read(0, "oxygen=2.1 mg/L", "temperature=26 C", "ph=7.2"),
         ("suspected", "condition=HYPOXIA", "shown-by=oxygen at dawn", on(0))),
        (read(1, "oxygen=7.2 mg/L", "temperature=25 C"), *clean((0, 1, 2)), *well((2,))), 2,
    ),
    "costia": Story(
        "Forge Yard",
        (tank(), stock("koi", 6, "12 cm"),
         read(0, "temperature=14 C", "ph=7.3", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N",
              "oxygen=9 mg/L"),
         ("confirmed", "condition=ICHTHYOBODO", "shown-by=skin scrape", on(0))),
        (*clean((3, 7)),), 7,
    ),
    "columnaris": Story(
        "Kiln Row",
        (tank(), stock("guppy", 20, "3 cm"),
         read(0, "temperature=27 C", "ph=7.2", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N",
              "oxygen=7.4 mg/L"),
         ("suspected", "condition=COLUMN", "shown-by=saddle patches", on(0)),
         ("death", "1", "group=guppy", on(0))),
        (*clean((2, 7)),), 7,
    ),
    "fin_rot": Story(
        "Weaver Court",
        (tank(), stock("goldfish", 4, "9 cm"),
         read(0, "temperature=20 C", "ph=7.3", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N",
              "oxygen=8.2 mg/L"),
         ("suspected", "condition=FINROT", "shown-by=frayed fins after a show", on(0))),
        (*clean((3, 5, 14)),), 14,
    ),
    "tubercles": Story(
        "Orchard Bank",
        (tank(), stock("goldfish", 4, "12 cm"),
         read(0, "temperature=17 C", "ph=7.4", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N",
              "oxygen=8.8 mg/L"),
         ("confirmed", "condition=TUBERCLE", "shown-by=points on gill covers of a male", on(0))),
        (*clean((3,)),), 3,
    ),
    "fish_lice": Story(
        "Quarry Pond",
        (POND, stock("koi", 8, "40 cm"),
         read(0, "temperature=19 C", "ph=7.5", "oxygen=8.3 mg/L", "ammonia=0 mg/L as N",
              "nitrite=0 mg/L as N"),
         ("confirmed", "condition=ARGULUS", "shown-by=lice on the skin", on(0))),
        (*clean((7, 14, 21, 28)),), 28,
    ),
}  # fmt: skip
