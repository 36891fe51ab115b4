"""An invented tank as a case would show it: folded in memory, kept nowhere."""

from __future__ import annotations

from datetime import UTC, datetime

from tankside.case import CaseView, fold
from tankside.case.codec import entry_from
from tankside.case.typed_entry import split_words, typed_entries
from tankside.case.typed_value import Door, Fields
from tankside.claims import Knowledge
from tankside.intake.species import settled
from tankside.quantity.moment import Moment

ZONE = "UTC"
MAIN = "main"
TANK = (
    "system", MAIN, "inside-length=100 cm", "inside-width=30 cm", "water-height=40 cm",
    "hose=12 L/min for 10 min", "carbon=no", "uv=no", "filter-ripe=yes", "plants=no",
    "invertebrates=no", "food-fish=no", "tap=none",
)  # fmt: skip


def teaching_view(
    facts: Knowledge, temperature_c: float, group: str, fish: int, spots: int, opened: str
) -> CaseView:
    """Return the invented tank of 120 L.

    Args:
        facts: what is known.
        temperature_c: of its water [C].
        group: what its platies are called.
        fish: how many they are.
        spots: spots counted on the worst of them.
        opened: the moment at which all of it was seen.
    """
    opening: Fields = {
        "kind": "opened", "occurred_at": opened, "day_only": False, "zone": ZONE,
        "name": "invented", "keeper": "nobody", "water": "fresh",
    }  # fmt: skip
    typed = (
        TANK,
        ("stock", group, f"name={group}", "host=xiphophorus_maculatus", f"count={fish}",
         "length=5 cm", "life-stage=adult", "gill-damage=no"),
        ("water", f"temperature={temperature_c:g} C", "ph=7.4", "oxygen=7.5 mg/L",
         "ammonia=0 mg/L as N", "nitrite=0 mg/L as N"),
        ("count", f"spots={spots}", f"group={group}"),
    )  # fmt: skip
    at, when = Moment(opened), datetime.fromisoformat(opened).astimezone(UTC)
    door = Door(ZONE, when, at, at, groups={group: group}, systems=(MAIN,))
    entries = [entry_from(_stamped(1, opening, when))]
    for kind, *words in typed:
        for fields in typed_entries(kind, split_words(words), door):
            plain = settled([fields], facts, lambda: fold(entries))[0]
            entries.append(entry_from(_stamped(len(entries) + 1, plain, when)))
    return fold(entries)


def _stamped(number: int, fields: Fields, when: datetime) -> Fields:
    stamp = when.isoformat(timespec="seconds").replace("+00:00", "Z")
    return {"id": number, "recorded_at": stamp, "by": "teaching", **fields}
