"""The closed list of units, each with its exact factor to the canonical unit of its kind.

Factors are exact by definition (inch, US gallon, imperial gallon, pound) or follow from
IUPAC abridged standard atomic weights (2021): H 1.008, C 12.011, N 14.007, O 15.999,
S 32.06, Ca 40.078, Cu 63.546. One German degree is 10 mg/L of CaO; one milliequivalent of
alkalinity is half a millimole of CaCO3.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from tankside.quantity.kind import Kind

_H, _C, _N, _O = Decimal("1.008"), Decimal("12.011"), Decimal("14.007"), Decimal("15.999")
_S, _CA, _CU = Decimal("32.06"), Decimal("40.078"), Decimal("63.546")
_CACO3 = _CA + _C + 3 * _O
_CAO = _CA + _O
_BLUE_CRYSTALS = _CU + _S + 4 * _O + 5 * (2 * _H + _O)
_US_GAL = Decimal("3.785411784")
_IMPERIAL_GAL = Decimal("4.54609")


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of the list.

    ``value_in_canonical = value * factor + offset``. ``basis`` says what the mass is of
    (``as N``); it is empty where the kind leaves no doubt.
    """

    symbol: str
    kind: Kind
    factor: Decimal
    basis: str = ""
    offset: Decimal = Decimal(0)

    @property
    def text(self) -> str:
        """The unit with its basis, as it is typed and shown."""
        return f"{self.symbol} {self.basis}".strip()


def _plain(kind: Kind, **factors: str) -> list[Unit]:
    return [Unit(symbol, kind, Decimal(factor)) for symbol, factor in factors.items()]


def _table() -> list[Unit]:
    unity = Decimal(1)
    return [
        *_plain(Kind.LENGTH, cm="1", mm="0.1", m="100", inch="2.54", ft="30.48"),
        *_plain(Kind.VOLUME, L="1", mL="0.001", m3="1000"),
        Unit("US gal", Kind.VOLUME, _US_GAL),
        Unit("imperial gal", Kind.VOLUME, _IMPERIAL_GAL),
        *_plain(Kind.MASS, g="1", mg="0.001", kg="1000", lb="453.59237"),
        Unit("g/mL", Kind.DENSITY, unity),
        Unit("C", Kind.TEMPERATURE, unity),
        Unit("F", Kind.TEMPERATURE, Decimal(5) / 9, offset=Decimal(-160) / 9),
        *_plain(Kind.TIME, s="1", min="60", h="3600", d="86400", week="604800"),
        Unit("L/h", Kind.FLOW, unity),
        Unit("L/min", Kind.FLOW, Decimal(60)),
        Unit("mL/min", Kind.FLOW, Decimal("0.06")),
        Unit("m3/h", Kind.FLOW, Decimal(1000)),
        Unit("US gal/h", Kind.FLOW, _US_GAL),
        Unit("imperial gal/h", Kind.FLOW, _IMPERIAL_GAL),
        Unit("US gal/min", Kind.FLOW, 60 * _US_GAL),
        Unit("imperial gal/min", Kind.FLOW, 60 * _IMPERIAL_GAL),
        Unit("per min", Kind.RATE, unity),
        Unit("pH", Kind.PH, unity),
        *_dissolved(),
    ]


def _dissolved() -> list[Unit]:
    unity, thousand = Decimal(1), Decimal(1000)
    nh3, nh4 = _N + 3 * _H, _N + 4 * _H
    return [
        Unit("mg/L", Kind.MASS_CONCENTRATION, unity),
        Unit("g/L", Kind.MASS_CONCENTRATION, thousand),
        Unit("g/m3", Kind.MASS_CONCENTRATION, unity),
        Unit("mL/m3", Kind.VOLUME_CONCENTRATION, unity),
        Unit("mL/L", Kind.VOLUME_CONCENTRATION, thousand),
        Unit("%", Kind.STRENGTH_W_W, unity, "w/w"),
        Unit("%", Kind.STRENGTH_W_V, unity, "w/v"),
        Unit("%", Kind.STRENGTH_V_V, unity, "v/v"),
        Unit("g/L", Kind.SALINITY, unity),
        Unit("mg/L", Kind.SALINITY, 1 / thousand),
        Unit("psu", Kind.PRACTICAL_SALINITY, unity),
        Unit("mg/L", Kind.OXYGEN, unity),
        Unit("% saturation", Kind.OXYGEN_SATURATION, unity),
        *_as(
            Kind.AMMONIA,
            {"as N": unity, "as NH3": _N / nh3, "as NH4": _N / nh4, "as ion": _N / nh4},
        ),
        *_as(
            Kind.NITRITE, dict.fromkeys(("as NO2", "as ion"), _N / (_N + 2 * _O)) | {"as N": unity}
        ),
        *_as(
            Kind.NITRATE, dict.fromkeys(("as NO3", "as ion"), _N / (_N + 3 * _O)) | {"as N": unity}
        ),
        *_as(Kind.ALKALINITY, {"as CaCO3": unity}),
        Unit("dH", Kind.ALKALINITY, 10 * _CACO3 / _CAO),
        Unit("meq/L", Kind.ALKALINITY, _CACO3 / 2),
        *_as(Kind.HARDNESS, {"as CaCO3": unity}),
        Unit("dH", Kind.HARDNESS, 10 * _CACO3 / _CAO),
        Unit("mmol/L", Kind.HARDNESS, _CACO3),
        Unit("mg/L", Kind.CHLORIDE, unity),
        Unit("mg/L", Kind.CHLORINE, unity),
        Unit("mg/L", Kind.CARBON_DIOXIDE, unity),
        *_as(Kind.COPPER, {"as Cu": unity, "as CuSO4.5H2O": _CU / _BLUE_CRYSTALS}),
        Unit("mS/cm", Kind.CONDUCTIVITY, unity),
        Unit("uS/cm", Kind.CONDUCTIVITY, 1 / thousand),
        *_plain(Kind.FEED_DOSE, **{"mg/kg/d": "1"}),
        *_plain(Kind.FEED_CONTENT, **{"g/kg feed": "1", "mg/kg feed": "0.001", "% of feed": "10"}),
        *_plain(Kind.RATION, **{"% of body weight": "1"}),
        *_plain(Kind.FOOD, **{"g/d": "1"}),
    ]


def _as(kind: Kind, bases: Mapping[str, Decimal]) -> list[Unit]:
    return [Unit("mg/L", kind, factor, basis) for basis, factor in bases.items()]


UNITS: Mapping[Kind, Mapping[str, Unit]] = MappingProxyType(
    {kind: MappingProxyType({u.text: u for u in _table() if u.kind is kind}) for kind in Kind}
)

CANONICAL: Mapping[Kind, str] = MappingProxyType(
    {
        kind: next(text for text, u in units.items() if u.factor == 1 and not u.offset)
        for kind, units in UNITS.items()
    }
)
"""The unit in which each kind is worked with inside (factor 1)."""

SPELLINGS: Mapping[str, str] = MappingProxyType(
    {
        "litre": "L", "litres": "L", "liter": "L", "liters": "L",
        "US gallon": "US gal", "US gallons": "US gal", "us gal": "US gal",
        "UK gal": "imperial gal", "imp gal": "imperial gal",
        "imperial gallon": "imperial gal", "imperial gallons": "imperial gal",
        "°C": "C", "°F": "F", "inches": "inch", "in": "inch", "kilogram": "kg", "gram": "g",
        "grams": "g", "minutes": "min", "minute": "min", "hours": "h", "hour": "h",
        "days": "d", "day": "d", "weeks": "week", "seconds": "s", "second": "s",
        "/min": "per min", "a minute": "per min", "°dH": "dH", "°dKH": "dH", "dKH": "dH",
        "dGH": "dH", "PSU": "psu", "m³": "m3", "m³/h": "m3/h", "mL/m³": "mL/m3", "g/m³": "g/m3",
        "µS/cm": "uS/cm", "metre": "m", "metres": "m", "lbs": "lb", "pound": "lb", "pounds": "lb",
    }
)  # fmt: skip
"""Clear other spellings of a unit on the list; each has one meaning only."""

UNSAFE: Mapping[str, str] = MappingProxyType(
    dict.fromkeys(("gal", "gallon", "gallons"), "US gal or imperial gal")
    | dict.fromkeys(
        ("oz", "ounce", "ounces", "fl oz", "pint", "pints", "quart", "quarts", "qt", "pt"),
        "g, mL or L",
    )
    | dict.fromkeys(
        ("drop", "drops", "cup", "cups", "tsp", "tbsp", "teaspoon", "teaspoons", "tablespoon",
         "tablespoons", "spoon", "spoons", "cap", "caps", "capful", "capfuls", "pinch", "tablet",
         "tablets", "dose", "doses"),
        "g or mL, measured with a scale or syringe",
    )
)  # fmt: skip
"""Words that name no safe unit, with what to write instead."""

WITHOUT_BASIS: Mapping[str, str] = MappingProxyType(
    dict.fromkeys(("ppm", "ppb"), "mg/L or mL/m3")
    | dict.fromkeys(("ppt", "‰", "o/oo"), "g/L, or psu for a salinity reading")
    | {"%": "% w/w, % w/v or % v/v"}
)
"""Ratios that can be read in two ways, with what to write instead."""

CONFUSABLE = frozenset({"M", "m", "ML", "MG", "Mg", "KG", "Kg", "l", "ml"})
"""Spellings that change their meaning, or are misread, with the size of one letter."""
