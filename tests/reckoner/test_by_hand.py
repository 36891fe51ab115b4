"""Short histories whose figures were worked out by hand, for the program and the reckoner alike."""

from __future__ import annotations

from math import exp, log

import pytest
from tests.reckoner.by_program import folded, in_waters
from tests.reckoner.pool import POINT
from tests.reckoner.printed_rates import Shelf
from tests.reckoner.reckoning import reckon
from tests.reckoner.typed_words import Row, minute_of

from tankside.claims import Knowledge

TANK = ("system", "main", "use=main", "meter=100 L")
GIVEN = ("done", "action=dose")


def at(clock: str, *words: str) -> Row:
    return Row((*words, f"on=2026-03-03T{clock}"))


def point_edges(
    rows: list[Row], clock: str, agent: str, shelf: Shelf, facts: Knowledge
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return (low, high) [mg/L] in 100 L, as shown by the program and as reckoned."""
    now = minute_of(f"2026-03-03T{clock}")
    shown = in_waters(folded(rows), facts, now)["main"].get(agent)
    water = reckon(rows, now, shelf)["main"]
    assert water is not None
    mine = water[agent]
    assert mine is not None
    low, high = mine[POINT]
    return (0.0, 0.0) if shown is None else shown[POINT], (float(low), float(high))


def test_carbon_takes_up_as_long_as_it_was_in(shelf: Shelf, facts: Knowledge) -> None:
    """1 g in 100 L; 20 h at a half-life of 24 h, and 10 of them with carbon at 0.3 an hour."""
    rows = [
        at("00:00", *TANK, "carbon=yes"),
        at("01:00", *GIVEN, "agent=metronidazole", "amount=1 g"),
        at("11:00", "system", "main", "carbon=no"),
    ]
    low = 10 * exp(-log(2) / 24 * 20 - 0.3 * 10)
    for edges in point_edges(rows, "21:00", "metronidazole", shelf, facts):
        assert edges == pytest.approx((low, 10.0), rel=1e-9)


def test_a_reading_of_copper_holds_what_the_crystals_brought(
    shelf: Shelf, facts: Knowledge
) -> None:
    """100 mg of crystals are 0.25 mg/L Cu; a reading of 0.1 mg/L is all the copper there is."""
    rows = [
        at("00:00", *TANK, "carbon=no"),
        at("01:00", *GIVEN, "agent=bluestone", "amount=100 mg"),
        at("02:00", "water", "copper=0.1 mg/L as Cu"),
    ]
    for edges in point_edges(rows, "02:00", "copper_ionic", shelf, facts):
        assert edges == pytest.approx((0.1, 0.1))
    now = minute_of("2026-03-03T02:00")
    assert "copper_sulphate" not in in_waters(folded(rows), facts, now)["main"]


def test_parted_waters_keep_their_strength_and_joined_ones_mix(
    shelf: Shelf, facts: Knowledge
) -> None:
    """90 g in 100 + 200 L are 0.3 g/L in both; parted, and 50 of 100 L changed, 0.15 g/L."""
    rows = [
        at("00:00", *TANK),
        at("00:01", "system", "side", "meter=200 L", "shares-water-with=main"),
        at("01:00", *GIVEN, "agent=salt", "amount=90 g", "system=side"),
        at("02:00", "system", "main", "shares-water-with=none"),
        at("03:00", "event", "what=water change", "changed=50 L", "system=main"),
    ]
    for edges in point_edges(rows, "04:00", "sodium_chloride", shelf, facts):
        assert edges == pytest.approx((150.0, 150.0), rel=1e-12)
    rows.append(at("05:00", "system", "side", "shares-water-with=main"))
    for edges in point_edges(rows, "06:00", "sodium_chloride", shelf, facts):
        assert edges == pytest.approx((250.0, 250.0), rel=1e-12)


SALTED = [
    at("00:00", *TANK),
    at("00:01", "system", "side", "meter=50 L"),
    at("01:00", *GIVEN, "agent=salt", "amount=100 g", "system=main"),
    at("01:30", *GIVEN, "agent=salt", "amount=10 g", "system=side"),
]
"""1 g/L in 100 L, 0.2 g/L in 50 L."""


@pytest.mark.parametrize(
    ("words", "main", "side"),
    [
        (("room-made=yes", "refilled=yes"), (800, 800), (520, 520)),  # 0.2 x 0.6 + 1.0 x 0.4
        (("room-made=no", "refilled=no"), (1000, 1000), (600, 600)),  # 10 g and 20 g in 50 L
        ((), (800, 1000), (520, 600)),  # nobody said: the low edge of one, the high of the other
    ],
)
def test_twenty_litres_carried_into_another_tank_bring_what_is_in_them(
    shelf: Shelf,
    facts: Knowledge,
    words: tuple[str, ...],
    main: tuple[float, float],
    side: tuple[float, float],
) -> None:
    rows = [*SALTED, at("02:00", "water-moved", "20 L", "from=main", "to=side", *words)]
    now = minute_of("2026-03-03T03:00")
    shown, water = in_waters(folded(rows), facts, now), reckon(rows, now, shelf)
    for system, edges in (("main", main), ("side", side)):
        mine, its = water[system], shown[system]["sodium_chloride"]
        assert mine is not None
        assert its is not None
        assert its[POINT] == pytest.approx(edges, rel=1e-12)
        reckoned = mine["sodium_chloride"]
        assert reckoned is not None
        assert [float(edge) for edge in reckoned[POINT]] == pytest.approx(edges, rel=1e-12)


def test_what_nobody_knows_stays_unknown_where_it_was_carried_to(
    shelf: Shelf, facts: Knowledge
) -> None:
    rows = [*SALTED, at("01:45", "in-water", "agent=formalin", "amount=?", "system=main"),
            at("02:00", "water-moved", "20 L", "from=main", "to=side")]  # fmt: skip
    now = minute_of("2026-03-03T03:00")
    assert in_waters(folded(rows), facts, now)["side"]["formalin"] is None
    water = reckon(rows, now, shelf)["side"]
    assert water is not None
    assert water["formalin"] is None
