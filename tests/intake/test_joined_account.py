"""Waters joined and parted: the masses add, the strength stays; by hand in exact fractions."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tankside import library
from tankside.course import InWater, Volume
from tankside.intake.account import Movement
from tankside.intake.joined_account import PartOfWater, balance
from tankside.intake.joined_waters import Joining
from tankside.intake.pooled_water import anywhere
from tankside.quantity.moment import Moment

FACTS = library.load()
SALT, BLUE = "sodium_chloride", "methylene_blue"
AT = Moment("2026-03-02T00:00+00:00")
OUT = ((-1000.0, False),)
"""Carbon was out of the filter all the time."""
PARTS = {
    "left": PartOfWater(Volume(100.0, 90.0, 110.0, "box"), OUT),
    "right": PartOfWater(Volume(60.0, 60.0, 60.0, "hose"), OUT),
    "sump": PartOfWater(Volume(40.0, 30.0, 50.0, "box"), OUT),
}


def joined(entry: int, *pairs: tuple[str, str]) -> Joining:
    return Joining(AT, entry, frozenset(frozenset(pair) for pair in pairs))


def put(hour: float, entry: int, system: str, mg: float, agent: str = SALT) -> Movement:
    return Movement(hour, entry, system, lambda account: account.put_in(agent, mg, mg))


def change(hour: float, entry: int, system: str, litres: float) -> Movement:
    return Movement(hour, entry, system, lambda account: account.exchange(litres))


def there(
    movements: list[Movement],
    joinings: list[tuple[float, Joining]],
    system: str,
    agent: str = SALT,
    parts: dict[str, PartOfWater] | None = None,
) -> InWater:
    lots = balance(FACTS, parts or PARTS, movements, joinings, system, 0.0)
    return next(lot for lot in lots if lot.agent == agent)


def test_masses_add_when_waters_are_joined() -> None:
    joinings = [(-5.0, joined(3, ("left", "sump")))]
    lot = there([put(-9, 1, "left", 100), put(-8, 2, "sump", 300)], joinings, "left")
    mass = Fraction(400)
    assert lot.by_volume is not None
    expected = [mass / Fraction(n) for n in (120, 140, 160)]
    assert [high for _, high in lot.by_volume] == pytest.approx([float(x) for x in expected])
    assert lot.low_mg_l == lot.high_mg_l == pytest.approx(float(expected[1]))


def test_a_change_after_joining_takes_its_share_of_the_whole() -> None:
    joinings = [(-5.0, joined(2, ("left", "sump"), ("sump", "right")))]
    moves = [put(-9, 1, "left", 100), change(-4, 3, "right", 50)]
    lot = there(moves, joinings, "sump")
    assert lot.high_mg_l == pytest.approx(float(Fraction(100, 200) * (1 - Fraction(50, 200))))


def test_parted_waters_keep_the_strength_and_go_their_own_ways() -> None:
    joinings = [(-5.0, joined(2, ("left", "sump"))), (-3.0, joined(3))]
    moves = [put(-9, 1, "left", 140), put(-2, 4, "left", 100)]
    assert there(moves, joinings, "left").high_mg_l == pytest.approx(2.0)
    assert there(moves, joinings, "sump").high_mg_l == pytest.approx(1.0)


def test_of_three_joined_two_stay_joined_when_one_is_parted() -> None:
    joinings = [
        (-5.0, joined(2, ("left", "sump"), ("sump", "right"))),
        (-3.0, joined(3, ("sump", "right"))),
    ]
    moves = [put(-9, 1, "left", 200), put(-2, 4, "right", 100)]
    assert there(moves, joinings, "left").high_mg_l == pytest.approx(1.0)
    assert there(moves, joinings, "sump").high_mg_l == pytest.approx(2.0)


def test_a_joining_told_after_the_hour_holds_for_the_whole_body() -> None:
    lot = there([put(-9, 1, "left", 140)], [(4.0, joined(2, ("left", "sump")))], "sump")
    assert lot.high_mg_l == pytest.approx(1.0)


@pytest.mark.parametrize("order", [("left", "sump"), ("sump", "left")])
def test_an_amount_nobody_knows_stays_unknown_through_joining_and_parting(
    order: tuple[str, str],
) -> None:
    hidden = Movement(-9, 1, order[0], lambda account: account.put_in_unknown(SALT))
    joinings = [(-5.0, joined(2, ("left", "sump"))), (-3.0, joined(3))]
    assert there([hidden], joinings, order[1]).high_mg_l is None
    assert there([hidden], joinings, order[0]).high_mg_l is None


def test_what_may_have_gone_into_water_nobody_measured_has_no_low_edge() -> None:
    parts = PARTS | {"sump": PartOfWater(None, OUT)}
    joinings = [(-5.0, joined(2, ("left", "sump"))), (-3.0, joined(3))]
    lot = there([put(-9, 1, "left", 100)], joinings, "left", parts=parts)
    assert (lot.low_mg_l, lot.high_mg_l) == (0.0, pytest.approx(1.0))
    thrown = there([put(-9, 1, "sump", 100)], joinings, "left", parts=parts)
    assert thrown.high_mg_l is None


@pytest.mark.parametrize(
    ("answers", "carbon"),
    [([True, False], True), ([None, True], True), ([None, False], None), ([False, False], False)],
)
def test_carbon_is_out_only_when_it_is_out_of_every_part(
    answers: list[bool | None], carbon: bool | None
) -> None:
    assert anywhere(answers) is carbon


def test_carbon_in_the_sump_takes_out_what_is_in_the_tank() -> None:
    """The low edge falls with carbon anywhere in the loop; the high edge does not."""
    parts = PARTS | {"sump": PartOfWater(PARTS["sump"].volume, ((-1000.0, True),))}
    joinings = [(-8.0, joined(1, ("left", "sump")))]
    moves = [put(-7, 2, "left", 140, BLUE)]
    bare = there(moves, joinings, "left", BLUE)
    carbon = there(moves, joinings, "left", BLUE, parts)
    assert carbon.low_mg_l is not None
    assert bare.low_mg_l is not None
    assert carbon.low_mg_l < bare.low_mg_l
    assert carbon.high_mg_l == bare.high_mg_l
