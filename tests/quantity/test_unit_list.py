"""The closed list of units: every unit, what one of it is, and nothing besides.

SI units and the pound, inch, foot and both gallons are exact by definition (BIPM, SI brochure,
9th ed. 2019; NIST Special Publication 811, 2008, Appendix B.8). Masses of ions are worked from the
IUPAC abridged standard atomic weights 2021 (H 1.008, C 12.011, N 14.007, O 15.999, S 32.06,
Ca 40.078, Cu 63.546) and held to five digits; one German degree is 10 mg of CaO in a litre.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from tankside.errors import BadInput
from tankside.quantity import AMOUNT, CANONICAL, DOSE, STRENGTH, UNITS, Kind, find_unit, measured
from tankside.quantity.measured import MAY_BE_ZERO

ONE_IS: dict[Kind, dict[str, str]] = {
    Kind.LENGTH: {"cm": "1", "mm": "0.1", "m": "100", "inch": "2.54", "ft": "30.48"},
    Kind.VOLUME: {"L": "1", "mL": "0.001", "m3": "1000", "US gal": "3.785411784",
                  "imperial gal": "4.54609"},
    Kind.MASS: {"g": "1", "mg": "0.001", "kg": "1000", "lb": "453.59237"},
    Kind.TEMPERATURE: {"C": "1"},
    Kind.TIME: {"s": "1", "min": "60", "h": "3600", "d": "86400", "week": "604800"},
    Kind.FLOW: {"L/h": "1", "L/min": "60", "mL/min": "0.06", "m3/h": "1000",
                "US gal/h": "3.785411784", "imperial gal/h": "4.54609",
                "US gal/min": "227.12470704", "imperial gal/min": "272.7654"},
    Kind.RATE: {"per min": "1"},
    Kind.PH: {"pH": "1"},
    Kind.MASS_CONCENTRATION: {"mg/L": "1", "g/L": "1000", "g/m3": "1"},
    Kind.VOLUME_CONCENTRATION: {"mL/m3": "1", "mL/L": "1000"},
    Kind.STRENGTH_W_W: {"% w/w": "1"},
    Kind.STRENGTH_W_V: {"% w/v": "1"},
    Kind.STRENGTH_V_V: {"% v/v": "1"},
    Kind.DENSITY: {"g/mL": "1"},
    Kind.SALINITY: {"g/L": "1", "mg/L": "0.001"},
    Kind.PRACTICAL_SALINITY: {"psu": "1"},
    Kind.OXYGEN: {"mg/L": "1"},
    Kind.OXYGEN_SATURATION: {"% saturation": "1"},
    Kind.AMMONIA: {"mg/L as N": "1", "mg/L as NH3": "0.82244", "mg/L as NH4": "0.77648",
                   "mg/L as ion": "0.77648"},
    Kind.NITRITE: {"mg/L as N": "1", "mg/L as NO2": "0.30447", "mg/L as ion": "0.30447"},
    Kind.NITRATE: {"mg/L as N": "1", "mg/L as NO3": "0.22590", "mg/L as ion": "0.22590"},
    Kind.ALKALINITY: {"mg/L as CaCO3": "1", "dH": "17.848", "meq/L": "50.043"},
    Kind.HARDNESS: {"mg/L as CaCO3": "1", "dH": "17.848", "mmol/L": "100.086"},
    Kind.CHLORIDE: {"mg/L": "1"},
    Kind.CHLORINE: {"mg/L": "1"},
    Kind.CARBON_DIOXIDE: {"mg/L": "1"},
    Kind.COPPER: {"mg/L as Cu": "1", "mg/L as CuSO4.5H2O": "0.25451"},
    Kind.CONDUCTIVITY: {"mS/cm": "1", "uS/cm": "0.001"},
    Kind.FEED_DOSE: {"mg/kg/d": "1"},
    Kind.FEED_CONTENT: {"g/kg feed": "1", "mg/kg feed": "0.001", "% of feed": "10"},
    Kind.RATION: {"% of body weight": "1"},
    Kind.FOOD: {"g/d": "1"},
}  # fmt: skip
BY_WEIGHTS = {Kind.AMMONIA, Kind.NITRITE, Kind.NITRATE, Kind.ALKALINITY, Kind.HARDNESS, Kind.COPPER}
NOT_BELOW_OR_AT_ZERO = {  # what is measured out, or strong, is more than nothing
    Kind.LENGTH, Kind.VOLUME, Kind.MASS, Kind.DENSITY, Kind.FLOW, Kind.MASS_CONCENTRATION,
    Kind.VOLUME_CONCENTRATION, Kind.STRENGTH_W_W, Kind.STRENGTH_W_V, Kind.STRENGTH_V_V,
    Kind.FEED_DOSE, Kind.FEED_CONTENT, Kind.RATION, Kind.FOOD,
}  # fmt: skip


@pytest.mark.parametrize("kind", Kind)
def test_the_list_holds_these_units_and_no_other(kind: Kind) -> None:
    by_factor_alone = set(UNITS[kind]) - {"F"}
    assert by_factor_alone == set(ONE_IS[kind])
    assert Decimal(ONE_IS[kind][CANONICAL[kind]]) == 1
    for text, unit in UNITS[kind].items():
        assert (unit.kind, unit.text) == (kind, text)
        assert find_unit(text, kind, field="box") is unit


@pytest.mark.parametrize(("kind", "text"), [(k, text) for k in ONE_IS for text in ONE_IS[k]])
def test_one_of_each_unit_is_so_much(kind: Kind, text: str) -> None:
    printed = Decimal(ONE_IS[kind][text])
    unit = UNITS[kind][text]
    allowed = Decimal("0.00005") * printed if kind in BY_WEIGHTS and printed != 1 else 0
    assert abs(unit.factor - printed) <= allowed
    assert unit.offset == 0


def test_water_freezes_and_boils_at_the_printed_degrees() -> None:
    """0 C is 32 F and 100 C is 212 F (NIST SP 811, B.8)."""
    assert abs(measured("32", "F", Kind.TEMPERATURE, field="box").canonical()) < Decimal("1e-20")
    freezing, warm = (UNITS[Kind.TEMPERATURE]["F"].factor * f + UNITS[Kind.TEMPERATURE]["F"].offset
                      for f in (Decimal(32), Decimal(212)))  # fmt: skip
    assert abs(freezing) < Decimal("1e-20")
    assert abs(warm - 100) < Decimal("1e-20")


@pytest.mark.parametrize("kind", Kind)
def test_nothing_at_all_is_a_reading_but_no_amount(kind: Kind) -> None:
    assert (kind in MAY_BE_ZERO) == (kind not in NOT_BELOW_OR_AT_ZERO)
    unit = CANONICAL[kind]
    if kind in NOT_BELOW_OR_AT_ZERO:
        with pytest.raises(BadInput, match="E-NUM-09"):
            measured("0", unit, kind, field="box")
    if kind is not Kind.TEMPERATURE:
        with pytest.raises(BadInput, match="E-NUM-09"):
            measured("-1", unit, kind, field="box")


def test_amounts_doses_and_strengths_are_of_these_kinds() -> None:
    assert set(AMOUNT) == {Kind.MASS, Kind.VOLUME}
    assert set(DOSE) == {Kind.MASS_CONCENTRATION, Kind.VOLUME_CONCENTRATION}
    assert set(STRENGTH) == {Kind.STRENGTH_W_W, Kind.STRENGTH_W_V, Kind.STRENGTH_V_V}
