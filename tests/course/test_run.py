"""The arithmetic of the expert's lines of scenarios S1, S3, S6 and S7, found again in the water."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

from tankside.claims import Knowledge
from tankside.course import (
    BodyKind,
    Course,
    CourseRun,
    InWater,
    LabelEntry,
    StockGroup,
    System,
    Volume,
    run,
)
from tankside.course.actions import (
    Bath,
    Carbon,
    Dose,
    ReadingTaken,
    SaltTo,
    Transfer,
    WaterChange,
    salt_steps,
)
from tankside.course.bodies.strata import StratumSpec
from tankside.course.bodies.tank_hours import BodyHours
from tankside.errors import BadInput


def point(result: CourseRun, body: int = 0) -> BodyHours:
    return next(s for s in result.tank_hours.strata if s.name == "point").bodies[body]


def test_s1_salt_to_two_grams_a_litre_is_346_g_in_steps(
    elm_road: System, facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    course = Course("salt", 5, salt_steps(8, "main", 2, 3, 12))
    result = run([elm_road], [], course, facts, labels)
    assert sum(a.value for a in result.amounts) == Decimal(346)
    assert len(result.amounts) == 3


def test_s1_forty_litres_out_puts_back_80_g(
    elm_road: System, facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    course = Course("salt", 5, (*salt_steps(8, "main", 2, 3, 12), WaterChange(60, "main", 40)))
    result = run([elm_road], [], course, facts, labels)
    assert result.amounts[-1].value == Decimal(80)
    assert result.lines[-1].text == (
        "Take out 40\xa0L (to the tape). It may hold salt. No rule on file, so never to a pond, "
        "stream or ditch; ask the local authority. Put back 40\xa0L with 80\xa0g of salt stirred "
        "in first. New water: as warm as the tank (25.5\xa0C when read); no other salt; find out "
        "first whether the tap water is treated with chlorine or chloramine (ask the water "
        "supplier); until then put none in."
    )
    salt = point(result).residue_high_mg_l["sodium_chloride"]
    assert salt[59] == pytest.approx(2000)
    assert salt[60] == pytest.approx(2000)


def test_every_printed_amount_is_found_again_in_the_hourly_water(
    elm_road: System, facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    course = Course("salt", 5, (*salt_steps(8, "main", 2, 3, 12), WaterChange(60, "main", 40)))
    result = run([elm_road], [], course, facts, labels)
    body = point(result)
    salt = body.residue_high_mg_l["sodium_chloride"]
    for amount in result.amounts:
        before = salt[amount.hour - 1]
        taken = 40.0 if amount.hour == 60 else 0.0
        grams = ((salt[amount.hour] - before) * body.volume_l + before * taken) / 1000
        assert f"{grams:.0f}\xa0g" == amount.text


def test_s1_carbon_left_in_lowers_both_edges_of_a_dye_but_not_salt(
    elm_road: System, facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    steps = (Dose(8, "main", "malachite_green", 0.1), SaltTo(8, "main", 2))
    out = run([elm_road], [], Course("c", 4, (Carbon(0, "main", False), *steps)), facts, labels)
    left = run([elm_road], [], Course("c", 4, (Carbon(0, "main", True), *steps)), facts, labels)
    for edge in ("residue_low_mg_l", "residue_high_mg_l"):
        dye_out = getattr(point(out), edge)["malachite_green"]
        dye_left = getattr(point(left), edge)["malachite_green"]
        assert dye_left[60] < dye_out[60]
        assert dye_left[8] == dye_out[8]
        np.testing.assert_array_equal(
            getattr(point(left), edge)["sodium_chloride"],
            getattr(point(out), edge)["sodium_chloride"],
        )


def hospital_tank() -> System:
    return System(
        "hospital",
        "the hospital tank",
        BodyKind.HOSPITAL,
        Volume(120.6, 120.6, 120.6, "inside measures"),
        water="marine",
        temperature_c=25.8,
        salinity_g_l=34.5,
    )


def test_s3_copper_in_120_6_l_is_85_mg_of_crystals(
    facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    course = Course("copper", 3, (Dose(20, "hospital", "copper_sulphate", 0.18),))
    result = run([hospital_tank()], [], course, facts, labels)
    amount = result.amounts[0]
    assert amount.text == "85\xa0mg"
    assert float(amount.active_mg) == pytest.approx(21.7, abs=0.1)


def test_s3_thirty_litres_back_carry_5_4_mg_copper(
    facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    course = Course(
        "copper",
        3,
        (Dose(20, "hospital", "copper_sulphate", 0.18), WaterChange(40, "hospital", 30)),
    )
    result = run([hospital_tank()], [], course, facts, labels)
    back = result.amounts[1]
    assert "x 30\xa0L = 5.4\xa0mg / 0.254505" in back.sum_text
    assert back.text == "21\xa0mg"
    assert back.for_l == 30


def mill_race() -> System:
    """Scenario S6: 556 L, of which 500 g of salt (0.90 g/L) are already in the water."""
    return System(
        "tub",
        "the tub",
        BodyKind.MAIN,
        Volume(556, 556, 567, "salt rise; inside measures"),
        water="fresh",
        temperature_c=11.0,
        temperature_low_c=9.5,
        temperature_high_c=13.5,
        residues=(InWater("sodium_chloride", 900.0, 900.0),),
    )


def test_s6_forgotten_salt_makes_it_612_g_more_not_1112(
    facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    result = run([mill_race()], [], Course("salt", 2, (SaltTo(8, "tub", 2),)), facts, labels)
    assert result.amounts[0].text == "612\xa0g"


def test_s6_daily_swing_keeps_the_logged_mean_and_extremes(
    facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    result = run([mill_race()], [], Course("none", 4, ()), facts, labels)
    water = point(result).temperature_c
    assert water.mean() == pytest.approx(11.0, abs=1e-9)
    assert water.max() == pytest.approx(13.5, abs=0.01)
    assert water.min() == pytest.approx(9.5, abs=0.01)


def test_s7_the_whole_shared_water_is_dosed(
    facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    shared = System(
        "B", "system B", BodyKind.MAIN, Volume(2400, 2400, 2400, "20 x 100 L and 400 L"),
        water="fresh", temperature_c=25.2,
    )  # fmt: skip
    result = run([shared], [], Course("salt", 1, (SaltTo(8, "B", 2),)), facts, labels)
    assert result.amounts[0].for_l == 2400
    assert result.amounts[0].text == "4800\xa0g"


def test_an_action_outside_the_course_is_refused(elm_road: System, facts: Knowledge) -> None:
    with pytest.raises(BadInput) as refused:
        run([elm_road], [], Course("x", 1, (WaterChange(24, "main", 10),)), facts)
    assert refused.value.code == "E-COURSE-01"


@pytest.mark.parametrize(("group", "to_body"), [("nobody", ""), ("x", "nowhere")])
def test_a_move_of_unknown_animals_or_to_an_unknown_tank_is_refused(
    elm_road: System, facts: Knowledge, group: str, to_body: str
) -> None:
    fish = StockGroup("x", None, "fish", 1, None, None, "main")
    move = Transfer(1, "main", group, to_body)
    with pytest.raises(BadInput) as refused:
        run([elm_road], [fish], Course("x", 1, (move,)), facts)
    assert refused.value.code == "E-COURSE-02"


def test_a_bath_in_an_unknown_tank_is_refused(elm_road: System, facts: Knowledge) -> None:
    fish = StockGroup("x", None, "fish", 1, None, None, "main")
    bath = Bath(1, "main", "x", "nowhere", "formalin", 100.0, 30.0)
    with pytest.raises(BadInput) as refused:
        run([elm_road], [fish], Course("x", 1, (bath,)), facts)
    assert refused.value.code == "E-COURSE-01"


def test_a_reading_sets_both_edges(facts: Knowledge, labels: dict[str, LabelEntry]) -> None:
    course = Course(
        "copper",
        3,
        (
            Dose(20, "hospital", "copper_sulphate", 0.18),
            ReadingTaken(40, "hospital", {"agent:copper_sulphate": 0.12}),
        ),
    )
    body = point(run([hospital_tank()], [], course, facts, labels, (StratumSpec("point", 1.0, 0),)))
    assert body.residue_low_mg_l["copper_sulphate"][40] == 0.12
    assert body.residue_high_mg_l["copper_sulphate"][40] == 0.12


def test_without_a_label_no_amount_is_shown_but_the_target_is_run(
    elm_road: System, facts: Knowledge
) -> None:
    result = run([elm_road], [], Course("salt", 1, (SaltTo(8, "main", 2),)), facts)
    assert result.amounts == ()
    assert "read the label first" in result.lines[0].text
    assert point(result).residue_high_mg_l["sodium_chloride"][8] == pytest.approx(2000)


def test_smaller_stratum_is_stronger_than_larger(
    elm_road: System, facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    wide = replace(elm_road, volume=Volume(173, 160, 190, "x"))
    result = run([wide], [], Course("salt", 1, (SaltTo(8, "main", 2),)), facts, labels)
    by_name = {
        s.name: s.bodies[0].residue_high_mg_l["sodium_chloride"][8]
        for s in result.tank_hours.strata
    }
    assert by_name["smaller"] > by_name["point"] > by_name["larger"]


def test_salt_leaves_with_water_and_the_next_step_makes_up_for_it(
    elm_road: System, facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    """86.5 of 173 L out without put-back halves 2 g/L; back to 2 g/L takes 173 g."""
    steps = (
        SaltTo(0, "main", 2),
        WaterChange(10, "main", 86.5, put_back=False),
        SaltTo(20, "main", 2),
    )
    result = run([elm_road], [], Course("salt", 2, steps), facts, labels)
    assert [a.text for a in result.amounts] == ["346\xa0g", "173\xa0g"]
    assert point(result).residue_high_mg_l["sodium_chloride"][20] == pytest.approx(2000)


def test_after_a_change_without_put_back_later_changes_put_back_the_weaker_strength(
    elm_road: System, facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    steps = (
        SaltTo(0, "main", 2),
        WaterChange(10, "main", 86.5, put_back=False),
        WaterChange(20, "main", 40),
    )
    result = run([elm_road], [], Course("salt", 2, steps), facts, labels)
    assert result.amounts[-1].text == "40\xa0g"


def test_a_reading_of_an_agent_sets_the_account_for_the_next_dose(
    facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    """S3, day 6: 0.11 read, back to 0.18 in 120.6 L is 8.4 mg Cu, 33 mg of crystals."""
    steps = (
        Dose(0, "hospital", "copper_sulphate", 0.18),
        ReadingTaken(120, "hospital", {"agent:copper_sulphate": 0.11}),
        Dose(140, "hospital", "copper_sulphate", 0.18, counting_residue=True),
    )
    result = run([hospital_tank()], [], Course("copper", 7, steps), facts, labels)
    assert result.amounts[-1].text == "33\xa0mg"


def test_the_smaller_volume_decides_whether_an_amount_is_shown(
    elm_road: System, facts: Knowledge, labels: dict[str, LabelEntry]
) -> None:
    """0.19 mg/L (limit 0.2) in 173 L is shown; if the water may be 150 L it is 0.219: refused."""
    dose = Course("dye", 1, (Dose(0, "main", "malachite_green", 0.19),))
    sure = run([elm_road], [], dose, facts, labels)
    wide = run([replace(elm_road, volume=Volume(173, 150, 190, "x"))], [], dose, facts, labels)
    assert len(sure.amounts) == 1
    assert wide.amounts == ()
    assert "no amount" in wide.lines[0].text
