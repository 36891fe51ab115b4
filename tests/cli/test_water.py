"""``tankside water``: arithmetic of S1, S2, S5 and S6, the unit trap, refusals, ranges."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from tests.cli.conftest import Ran

S2_TANK = ("--length", "90 cm", "--width", "45 cm", "--depth", "40 cm")
S5_CHANGE = (
    "--temperature", "29.0 C", "--tank-ph", "6.4", "--tank-alkalinity", "2 dH",
    "--new-ph", "7.6", "--new-alkalinity", "9 dH", "--share", "0.5",
    "--total-ammonia", "1.0 mg/L as N",
)  # fmt: skip


@pytest.fixture
def water(tankside: Callable[..., Ran]) -> Callable[..., dict[str, Any]]:
    def run(*words: str) -> dict[str, Any]:
        ran = tankside("water", *words, "--json")
        assert ran.code == 0, ran.out + ran.err
        return ran.answer

    return run


@pytest.fixture
def refused(tankside: Callable[..., Ran]) -> Callable[..., str]:
    def run(*words: str) -> str:
        ran = tankside("water", *words, "--json")
        assert ran.code == 2
        return str(ran.error["code"])

    return run


def values(answer: dict[str, Any], name: str) -> list[float]:
    return [r["value"] for r in answer["results"] if r["name"] == name]


def text(answer: dict[str, Any], name: str) -> str:
    shown: str = next(r["text"] for r in answer["results"] if r["name"] == name)
    return shown.replace("\xa0", " ")


def test_s1_volume_two_ways_one_per_cent_apart(water: Callable[..., dict[str, Any]]) -> None:
    answer = water(
        "volume", "--length", "118 cm", "--width", "38 cm", "--depth", "41 cm",
        "--takes", "11 L", "--takes", "6 L", "--adds", "6 L",
        "--hose", "14 L/min", "--hose-time", "12.5 min", "--label", "216 L",
    )  # fmt: skip
    assert values(answer, "net water")[0] == pytest.approx(173, abs=0.5)
    assert values(answer, "by hose and clock") == [pytest.approx(175)]
    assert values(answer, "difference")[0] == pytest.approx(1, abs=0.5)
    assert any("label says 216 L, +25 %" in warning for warning in answer["warnings"])


def test_s2_volume_in_litres_and_both_gallons(water: Callable[..., dict[str, Any]]) -> None:
    answer = water("volume", *S2_TANK)
    litres, us, imperial = values(answer, "net water")
    assert litres == pytest.approx(162, abs=1e-9)
    assert us == pytest.approx(42.8, abs=0.05)
    assert imperial == pytest.approx(35.6, abs=0.05)
    assert any("One method only" in warning for warning in answer["warnings"])


def test_s2_a_gallon_without_country_is_refused(refused: Callable[..., str]) -> None:
    assert refused("volume", *S2_TANK, "--second", "40 gallons") == "E-UNIT-04"


@pytest.mark.parametrize("gallons", ["40 US gal", "40 imperial gal"])
def test_s2_either_gallon_is_compared_with_the_tape(
    water: Callable[..., dict[str, Any]], gallons: str
) -> None:
    """Scenario S2: 151.4 L and 181.8 L against 162 L; neither is taken silently."""
    answer = water("volume", *S2_TANK, "--second", gallons)
    assert values(answer, "net water")[0] == pytest.approx(162)
    assert values(answer, "by the second figure")[0] == pytest.approx(
        151.4 if "US" in gallons else 181.8, abs=0.05
    )
    far_apart = any("measure again" in warning for warning in answer["warnings"])
    assert far_apart == ("imperial" in gallons)


def test_s6_volume_by_weighed_salt(water: Callable[..., dict[str, Any]]) -> None:
    answer = water(
        "volume", "--length", "180 cm", "--width", "90 cm", "--depth", "35 cm",
        "--salt", "500 g", "--salt-rise", "0.90 g/L",
    )  # fmt: skip
    assert values(answer, "net water")[0] == pytest.approx(567)
    assert values(answer, "by weighed salt")[0] == pytest.approx(556, abs=0.5)
    assert values(answer, "difference")[0] == pytest.approx(2, abs=0.1)


def test_two_methods_too_far_apart_are_refused(refused: Callable[..., str]) -> None:
    assert refused("volume", *S2_TANK, "--second", "216 L") == "E-DOSE-21"


def test_s2_toxic_ammonia(water: Callable[..., dict[str, Any]]) -> None:
    answer = water("ammonia", "--temperature", "19.0 C", "--ph", "7.8", "--total", "1.2 mg/L as N")
    assert text(answer, "toxic ammonia") == "0.027 mg/L as N"
    assert answer["formulas"][0]["doi"] == "10.1139/f75-274"
    assert answer["warnings"] == []
    assert answer["rivals"][0]["in_range"]


def test_s5_toxic_ammonia(water: Callable[..., dict[str, Any]]) -> None:
    answer = water("ammonia", "--temperature", "29 C", "--ph", "6.4", "--total", "1.0 mg/L as N")
    assert values(answer, "toxic ammonia")[0] == pytest.approx(0.002, abs=0.0005)


def test_ammonia_read_as_the_ion_is_not_taken_for_nitrogen(
    water: Callable[..., dict[str, Any]],
) -> None:
    """14.007/18.039 of a reading as NH4 is nitrogen."""
    base = ("ammonia", "--temperature", "19.0 C", "--ph", "7.8", "--total")
    as_n = values(water(*base, "1.0 mg/L as N"), "toxic ammonia")[0]
    as_ion = values(water(*base, "1.0 mg/L as NH4"), "toxic ammonia")[0]
    assert as_ion / as_n == pytest.approx(14.007 / 18.039, rel=1e-4)


def test_ammonia_without_basis_is_refused(refused: Callable[..., str]) -> None:
    assert refused("ammonia", "--temperature", "19 C", "--ph", "7.8", "--total", "1.2 mg/L") == (
        "E-UNIT-03"
    )


def test_salt_water_asks_which_salt(refused: Callable[..., str]) -> None:
    base = ("ammonia", "--temperature", "25 C", "--ph", "8.2", "--total", "0.05 mg/L as N")
    assert refused(*base, "--salinity", "34.5 g/L") == "E-WATER-02"
    assert refused(*base, "--salinity", "34.5 g/L", "--salt", "table") == "E-WATER-03"


def test_sea_salt_uses_the_saline_formula_and_says_the_scale(
    water: Callable[..., dict[str, Any]],
) -> None:
    answer = water(
        "ammonia", "--temperature", "25.8 C", "--ph", "8.2", "--total", "0.05 mg/L as N",
        "--salinity", "34.5 g/L", "--salt", "sea",
    )  # fmt: skip
    assert "clegg_whitfield95" in answer["formulas"][0]["method"]
    assert "free scale" in answer["why"]
    share = values(answer, "toxic share")[0]
    assert 6.61 < share < 7.2  # printed 6.61 % at 25 C by Bower & Bidwell 1978; 0.8 C warmer


def test_practical_salinity_and_grams_per_litre_are_both_read(
    water: Callable[..., dict[str, Any]],
) -> None:
    read = [
        values(
            water("oxygen", "--temperature", "25 C", "--salinity", typed), "oxygen at saturation"
        )
        for typed in ("34 psu", "34 g/L")
    ]
    assert read[0] == [pytest.approx(read[1][0])]


def test_common_salt_keeps_the_cautious_formula_and_warns(
    water: Callable[..., dict[str, Any]],
) -> None:
    answer = water(
        "ammonia", "--temperature", "25 C", "--ph", "8.0", "--total", "1.0 mg/L as N",
        "--salinity", "3 g/L", "--salt", "common",
    )  # fmt: skip
    assert "emerson75" in answer["formulas"][0]["method"]
    assert "safe side" in answer["why"]
    assert any("salinity" in warning for warning in answer["warnings"])


@pytest.mark.parametrize(("temperature", "printed"), [("29 C", 7.7), ("19 C", 9.3)])
def test_s2_s5_oxygen_at_saturation(
    water: Callable[..., dict[str, Any]], temperature: str, printed: float
) -> None:
    answer = water("oxygen", "--temperature", temperature)
    assert values(answer, "oxygen at saturation")[0] == pytest.approx(printed, abs=0.05)


def test_warming_takes_oxygen(water: Callable[..., dict[str, Any]]) -> None:
    answer = water("oxygen", "--temperature", "25.5 C", "--reading", "7.2 mg/L",
                  "--warmed-to", "30 C")  # fmt: skip
    warm = values(answer, "at saturation when warmed")[0]
    assert warm == pytest.approx(7.559, abs=0.001)  # APHA 4500-O table at 30 C, from memory
    assert values(answer, "the reading is")[0] < 100


def test_out_of_range_is_said(water: Callable[..., dict[str, Any]]) -> None:
    answer = water("oxygen", "--temperature", "43 C")
    assert any("outside the range 0 to 40" in warning for warning in answer["warnings"])


def test_s2_salt_against_nitrite_and_the_trap_of_the_unit(
    water: Callable[..., dict[str, Any]],
) -> None:
    answer = water("nitrite", "--nitrite", "2.6 mg/L as NO2", "--chloride", "25 mg/L",
                  "--volume", "162 L")  # fmt: skip
    assert values(answer, "salt at 10 to 1")[0] == pytest.approx(0.3, abs=0.05)
    assert values(answer, "salt at 20 to 1")[0] == pytest.approx(7, abs=0.5)
    assert values(answer, "nitrite as nitrogen")[0] == pytest.approx(0.8, abs=0.05)
    assert "taking the ion for nitrogen would give 16 g" in answer["warnings"][0]


def test_s2_nitrite_typed_as_nitrogen_gives_the_same(water: Callable[..., dict[str, Any]]) -> None:
    read = ("--chloride", "25 mg/L", "--volume", "162 L")
    ion = water("nitrite", "--nitrite", "3.28454 mg/L as NO2", *read)
    nitrogen = water("nitrite", "--nitrite", "1.0 mg/L as N", *read)
    name = "salt at 10 to 1"
    assert values(ion, name)[0] == pytest.approx(values(nitrogen, name)[0], rel=1e-3)


def test_s2_nitrite_without_basis_is_refused(refused: Callable[..., str]) -> None:
    assert refused("nitrite", "--nitrite", "2.6 mg/L", "--chloride", "25 mg/L",
                   "--volume", "162 L") == "E-UNIT-03"  # fmt: skip


def test_s5_half_change_with_tap_at_once_and_after_gas_exchange(
    water: Callable[..., dict[str, Any]],
) -> None:
    """Scenario S5: about 7.0 at once, about 7.8 later; the toxic part doubles, then rises."""
    answer = water("mix", *S5_CHANGE, "--oxygen", "6.2 mg/L")
    assert values(answer, "pH at once")[0] == pytest.approx(7.0, abs=0.1)
    assert values(answer, "pH after gas exchange")[0] == pytest.approx(7.8, abs=0.1)
    before, once, later = (
        values(answer, name)[0]
        for name in ("toxic ammonia before", "toxic ammonia at once", "toxic after gas exchange")
    )
    assert once / before == pytest.approx(2, abs=0.3)
    assert later > 2 * once
    assert any("change slowly" in warning for warning in answer["warnings"])


def test_mix_without_oxygen_says_what_it_assumes(water: Callable[..., dict[str, Any]]) -> None:
    answer = water("mix", *S5_CHANGE)
    assert values(answer, "pH after gas exchange")[0] > 8
    assert any("oxygen was not given" in note for note in answer["notes"])


def test_matched_water_changes_nothing(water: Callable[..., dict[str, Any]]) -> None:
    answer = water(
        "mix", "--temperature", "25 C", "--tank-ph", "7.4", "--tank-alkalinity", "90 mg/L as CaCO3",
        "--new-ph", "7.4", "--new-alkalinity", "90 mg/L as CaCO3", "--share", "0.5",
        "--total-ammonia", "1.0 mg/L as N", "--oxygen", "8.0 mg/L",
    )  # fmt: skip
    assert values(answer, "pH at once")[0] == pytest.approx(7.4, abs=0.001)


def test_share_above_the_whole_is_refused(refused: Callable[..., str]) -> None:
    wrong = tuple("1.5" if word == "0.5" else word for word in S5_CHANGE)
    assert refused("mix", *wrong) == "E-RANGE-01"


def test_leaflet_example_of_carbon_dioxide(water: Callable[..., dict[str, Any]]) -> None:
    """Leaflet example: pH 6.8, 25 C, alkalinity 50 gives 15.65 mg/L (factor table of SRAC 468)."""
    answer = water("carbon-dioxide", "--temperature", "25 C", "--ph", "6.8",
                  "--alkalinity", "50 mg/L as CaCO3")  # fmt: skip
    assert values(answer, "free carbon dioxide")[0] == pytest.approx(15.65, rel=0.01)


def test_weight_of_a_loach_is_a_range(water: Callable[..., dict[str, Any]]) -> None:
    answer = water("weight", "--length", "9 cm", "--shape", "fusiform", "--count", "2")
    low, point, high = (
        values(answer, name)[0] for name in ("low edge", "weight of one", "high edge")
    )
    assert high / point == pytest.approx(point / low)
    assert high / point == pytest.approx(2.2, abs=0.05)  # factor printed beside the priors
    assert values(answer, "all 2")[0] == pytest.approx(2 * point)


def test_turnover_and_dilution(water: Callable[..., dict[str, Any]]) -> None:
    passed = water("turnover", "--flow", "200 L/h", "--volume", "200 L", "--time", "3 h")
    assert values(passed, "passed at least once")[0] == pytest.approx(95.0, abs=0.05)
    left = water("dilution", "--share", "0.5", "--changes", "2")
    assert values(left, "left")[0] == pytest.approx(25)


def test_food_and_heater(water: Callable[..., dict[str, Any]]) -> None:
    """1 kg of food at 35 % protein makes 32.2 g of total ammonia N (Timmons & Ebeling)."""
    made = water("food", "--amount", "1000 g", "--protein", "35 % w/w", "--volume", "1000 L")
    assert values(made, "total ammonia made")[0] == pytest.approx(32.2)
    slow = water("heater", "--volume", "100 L", "--rise", "2", "--time", "24 h")
    fast = water("heater", "--volume", "100 L", "--rise", "1", "--time", "1 h")
    assert values(fast, "power without losses")[0] == pytest.approx(116, abs=0.5)
    assert slow["warnings"] == []
    assert fast["warnings"]


def test_text_shows_sum_source_and_warning(tankside: Callable[..., Ran]) -> None:
    ran = tankside("water", "oxygen", "--temperature", "43 C")
    assert ran.code == 0
    for part in ("Formula:", "Source: Benson & Krause 1984", "WARNING:", "From: temperature 43 C"):
        assert part in ran.out


def test_decimal_comma_is_refused(refused: Callable[..., str]) -> None:
    assert refused("oxygen", "--temperature", "25,5 C") == "E-NUM-02"
