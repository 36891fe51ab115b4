"""What each kind of action does to the water, tells the parasite, and says in trade words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest

from tankside.course import (
    BodyKind,
    Course,
    CourseRun,
    LabelEntry,
    NewWater,
    StockGroup,
    System,
    Volume,
    run,
)
from tankside.course.actions import (
    Air,
    Bath,
    Carbon,
    Count,
    Fast,
    FineFilter,
    Light,
    MedicatedFeed,
    Resume,
    Siphon,
    TakeReading,
    Transfer,
    UltraViolet,
    Warm,
    WaterChange,
    removal,
)
from tankside.course.actions.action import Action
from tankside.course.bodies.system import Treated
from tankside.course.bodies.tank_hours import NOWHERE, BodyHours, Channel
from tankside.library import load

LIBRARY = load()
FISH = StockGroup("f", "carassius_auratus", "the goldfish", 4, 9.0, None, "main")


def tank(**more: Any) -> System:
    return System(
        "main", "the tank", BodyKind.MAIN, Volume(100, 100, 100, "x"), water="fresh",
        temperature_c=20.0, **more,
    )  # fmt: skip


BOX = System("box", "the box", BodyKind.HOSPITAL, Volume(20, 20, 20, "x"), water="fresh")


def go(
    *steps: Action,
    days: int = 4,
    system: System | None = None,
    stock: Sequence[StockGroup] = (FISH,),
) -> CourseRun:
    return run([system or tank(), BOX], stock, Course("c", days, steps), LIBRARY)


def water(result: CourseRun) -> BodyHours:
    return result.tank_hours.strata[1].bodies[0]


WORDS: dict[str, Action] = {
    "Take the carbon out of the tank. Keep it OUT until this card says otherwise.": Carbon(
        0, "main", False
    ),
    "Put fresh carbon in the filter of the tank.": Carbon(0, "main", True),
    "Turn UV in the tank off.": UltraViolet(0, "main", False),
    "Turn UV in the tank on.": UltraViolet(0, "main", True, 1.0),
    "Run the fine filter in the tank; rinse it daily.": FineFilter(0, "main", True, 2.0),
    "Stop the fine filter in the tank.": FineFilter(0, "main", False),
    "Put the air stone into the tank.": Air(0, "main", True),
    "Turn the air stone in the tank off.": Air(0, "main", False),
    "Lights off; cover the tank.": Light(0, "main", 0),
    "Lights on 6\xa0h a day.": Light(0, "main", 6),
    "No food.": Fast(0, "main"),
    "Feed the usual ration.": Resume(0, "main"),
    "Feed 50% of the usual ration.": Resume(0, "main", 0.5),
    "Count spots on the worst fish (the goldfish).": Count(0, "main", "f"),
    "Measure oxygen, pH in the tank and write it down.": TakeReading(0, "main", ("oxygen", "pH")),
    "Set the tank towards 24\xa0C, at most 1\xa0C in 24 h. Read the thermometer, not the heater.": (
        Warm(0, "main", 24.0, 1.0)
    ),
    "Move the goldfish to the box. Net or container for this move only; pour no water across.": (
        Transfer(0, "main", "f", "box")
    ),
    "Take out 40\xa0L (to the tape). Put back 40\xa0L. New water: at 20\xa0C; untreated, so "
    "without chlorine; pH and alkalinity of both read first (the tank may move by 0.3 and "
    "18\xa0mg/L\xa0as\xa0CaCO3 a day).": (
        WaterChange(0, "main", 40, new_water=NewWater(temperature_c=20.0, treated=Treated.NONE))
    ),
}


@pytest.mark.parametrize("text", WORDS)
def test_says_what_to_do(text: str) -> None:
    assert go(WORDS[text]).lines[0].text == text


def test_every_line_has_its_work_in_minutes() -> None:
    result = go(*WORDS.values())
    assert all(line.minutes is not None for line in result.lines if line.kind != "reading")


def test_switches_hold_until_set_again() -> None:
    result = go(
        UltraViolet(0, "main", False),
        UltraViolet(30, "main", True, 1.5),
        FineFilter(10, "main", True, 2.0),
        FineFilter(20, "main", False),
        system=tank(uv_on=True, uv_turnover_per_h=1.5),
    )
    body = water(result)
    assert body.uv_per_h[[0, 29, 30, 95]].tolist() == [0, 0, 1.5, 1.5]
    assert body.fine_filter_per_h[[9, 10, 19, 20]].tolist() == [0, 2, 2, 0]


def test_light_is_centred_on_noon_and_can_be_taken_away() -> None:
    body = water(go(Light(24, "main", 6), Light(72, "main", 0)))
    assert body.light[:24].sum() == 12
    assert body.light[24:48].sum() == 6
    assert body.light[24 + 9 : 24 + 15].all()
    assert body.light[72:].sum() == 0


def test_known_lighting_hours_are_used_even_over_midnight() -> None:
    body = water(go(system=tank(lights_on_hour=18, lights_off_hour=2)))
    assert np.flatnonzero(body.light[:24]).tolist() == [0, 1, 18, 19, 20, 21, 22, 23]


def test_a_ramp_moves_at_its_rate_and_stops_at_its_end() -> None:
    body = water(go(Warm(0, "main", 22.0, 1.0)))
    assert body.temperature_c[24] == pytest.approx(21.0)
    assert body.temperature_c[48:] == pytest.approx(22.0)
    body = water(go(Warm(0, "main", 18.0, 2.0)))
    assert body.temperature_c[12] == pytest.approx(19.0)
    assert body.temperature_c[-1] == pytest.approx(18.0)


def test_cold_new_water_cools_at_once_and_the_heater_takes_it_back() -> None:
    change = WaterChange(10, "main", 50, new_water=NewWater(temperature_c=10.0))
    body = water(go(change))
    assert body.temperature_c[10] == pytest.approx(15.0)
    assert 15.0 < body.temperature_c[12] < 20.0
    assert body.temperature_c[-1] == pytest.approx(20.0, abs=1e-3)


def test_siphon_and_change_tell_what_leaves_with_the_water() -> None:
    result = go(Siphon(5, "main", 20), WaterChange(9, "main", 30))
    bottom = [e for e in result.tank_hours.events if e.channel is Channel.BOTTOM_REMOVED]
    taken = [e for e in result.tank_hours.events if e.channel is Channel.WATER_REMOVED]
    claim = LIBRARY.claim("practice.course.siphon_bottom_share")
    assert [(e.share_low, e.share, e.share_high) for e in bottom] == [
        (claim.low, claim.value, claim.high)
    ]
    assert [e.share for e in taken] == [0.2, 0.3]


def test_a_move_is_told_and_changes_where_the_group_is() -> None:
    result = go(Transfer(30, "main", "f", "box"), Transfer(60, "box", "f", ""))
    where = result.tank_hours.where["f"]
    assert where[[0, 29, 30, 59, 60, 95]].tolist() == [0, 0, 1, 1, NOWHERE, NOWHERE]
    events = [e for e in result.tank_hours.events if e.channel is Channel.GROUP_MOVED]
    assert [(e.hour, e.to_body) for e in events] == [(30, "box"), (60, "")]
    claim = LIBRARY.claim("practice.course.water_carried")
    assert claim.low is not None
    assert claim.high is not None
    litres = (claim.low, claim.number(), claim.high)
    assert (events[0].share_low, events[0].share, events[0].share_high) == pytest.approx(
        [part / 100 for part in litres]
    )
    assert "another place, for good" in result.lines[1].text


def test_feed_that_carries_an_agent_puts_nothing_into_the_water() -> None:
    result = go(MedicatedFeed(0, "main", "f", "praziquantel", 50.0))
    event = result.tank_hours.events[0]
    assert (event.channel, event.amount, event.unit) == (Channel.FEED, 50.0, "mg/kg/d")
    assert water(result).residue_high_mg_l == {}
    assert "50\xa0mg per kg of fish" in result.lines[0].text


def test_a_bath_doses_its_own_water_only(labels: dict[str, LabelEntry]) -> None:
    bath = Bath(8, "main", "f", "box", "sodium_chloride", 10_000.0, 30.0)
    result = run([tank(), BOX], [FISH], Course("c", 1, (bath,)), LIBRARY, labels)
    assert result.amounts[0].text == "200\xa0g"
    assert water(result).residue_high_mg_l == {}
    event = result.tank_hours.events[0]
    assert (event.channel, event.minutes, event.route) == (Channel.BATH, 30.0, "bath")
    assert "stay beside it" in result.lines[0].text
    assert "not an alarm" in result.lines[0].text


def test_a_plain_water_dip_has_no_amount() -> None:
    result = go(Bath(8, "main", "f", "box", "", 0.0, 3.0, "dip"))
    assert result.amounts == ()
    assert result.lines[0].text.startswith("Fill the box with 20\xa0L, air on.")


def test_removal_puts_carbon_in_and_nothing_back(labels: dict[str, LabelEntry]) -> None:
    steps = removal(30, "main", 50, changes=2, every_h=24, carbon=True)
    assert isinstance(steps[0], Carbon)
    assert [step.at_h for step in steps] == [30, 30, 54]
    from tankside.course.actions import SaltTo

    result = run([tank()], [FISH], Course("c", 4, (SaltTo(0, "main", 2), *steps)), LIBRARY, labels)
    assert water(result).residue_high_mg_l["sodium_chloride"][-1] == pytest.approx(500)
    assert len(result.amounts) == 1
    assert len(removal(30, "main", 50, 2, 24, carbon=False)) == 2


def test_a_step_of_salt_says_into_which_of_two_waters_it_goes(
    labels: dict[str, LabelEntry],
) -> None:
    """20 g make 1 g/L of the 20 L box; poured into the tank they would be lost there."""
    from tankside.course.actions import SaltTo

    result = run([tank(), BOX], [FISH], Course("c", 2, (SaltTo(0, "box", 1),)), LIBRARY, labels)
    (line,) = [step.text for step in result.lines if "of salt into" in step.text]
    assert "(the box, 20\N{NO-BREAK SPACE}L)" in line
