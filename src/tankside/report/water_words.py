"""What each figure and each remark of a water calculation is called, and its sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tankside.quantity.show import NO_BREAK, plain, rounded
from tankside.services.water_answer import Remark, WaterFigure, WaterRemark, WaterResult
from tankside.services.water_mix import ROOM_AIR
from tankside.services.water_volume import SecondMethod

Numbers = Mapping[str, float]

FIGURES: Mapping[WaterFigure, str] = {
    WaterFigure.TOXIC_AMMONIA: "toxic ammonia",
    WaterFigure.TOXIC_SHARE: "toxic share",
    WaterFigure.TOXIC_BEFORE: "toxic ammonia before",
    WaterFigure.TOXIC_AT_ONCE: "toxic ammonia at once",
    WaterFigure.TOXIC_SETTLED: "toxic after gas exchange",
    WaterFigure.OXYGEN_FULL: "oxygen at saturation",
    WaterFigure.OXYGEN_SHARE: "the reading is",
    WaterFigure.OXYGEN_WARMED: "at saturation when warmed",
    WaterFigure.SALT_AT_RATIO: "salt at {} to 1",
    WaterFigure.NITRITE_ION: "nitrite as the ion",
    WaterFigure.NITRITE_NITROGEN: "nitrite as nitrogen",
    WaterFigure.FREE_CO2: "free carbon dioxide",
    WaterFigure.PH_AT_ONCE: "pH at once",
    WaterFigure.PH_SETTLED: "pH after gas exchange",
    WaterFigure.MIXED_ALKALINITY: "alkalinity of the mix",
    WaterFigure.NET_WATER: "net water",
    WaterFigure.SECOND_VOLUME: "by {}",
    WaterFigure.VOLUME_DIFFERENCE: "difference",
    WaterFigure.WEIGHT_OF_ONE: "weight of one",
    WaterFigure.WEIGHT_LOW: "low edge",
    WaterFigure.WEIGHT_HIGH: "high edge",
    WaterFigure.WEIGHT_OF_ALL: "all {}",
    WaterFigure.PASSED: "passed at least once",
    WaterFigure.TURNOVERS: "turnovers",
    WaterFigure.LEFT: "left",
    WaterFigure.CHANGES_TO_TWENTIETH: "changes down to a twentieth",
    WaterFigure.AMMONIA_RISE: "rise of total ammonia in a day",
    WaterFigure.AMMONIA_MADE: "total ammonia made",
    WaterFigure.HEATER_POWER: "power without losses",
    WaterFigure.WARMING_RATE: "rate",
}
"""The name of each figure; ``{}`` takes which of several it is."""
SECOND_METHODS: Mapping[str, str] = {
    SecondMethod.FIGURE: "the second figure",
    SecondMethod.HOSE: "hose and clock",
    SecondMethod.SALT: "weighed salt",
}
RIVALS: Mapping[str, str] = {ROOM_AIR: "in balance with room air"}
"""Rivals that are no published method."""
ARITHMETIC: Mapping[str, str] = {
    "volume": "length x width x depth / 1000, less what takes room, plus what adds",
}
"""The sum of calculations that need no published formula."""


def figure_name(result: WaterResult) -> str:
    """Return what a figure is called."""
    return FIGURES[result.figure].format(SECOND_METHODS.get(result.which, result.which))


def rival_name(method: str) -> str:
    """Return what a rival is called: its method, or how it takes the water to be."""
    return RIVALS.get(method, method)


def figure_words(value: float, unit: str, digits: int) -> str:
    """Write a figure with its unit, unbroken."""
    number = plain(rounded(value, digits))
    return f"{number} {unit}".strip().replace(" ", NO_BREAK)


def remark_words(remark: WaterRemark) -> str:
    """Write one remark as its sentence."""
    return _SENTENCES[remark.remark](remark)


def _two(number: float) -> str:
    """Write a number with two significant digits."""
    return plain(rounded(number, 2))


def _plainly(sentence: str) -> Callable[[WaterRemark], str]:
    return lambda remark: sentence


def _against(place: str) -> Callable[[WaterRemark], str]:
    def sentence(remark: WaterRemark) -> str:
        guide = _two(remark.numbers["guideline_mg_l_n"])
        harm = _two(remark.numbers["gill_damage_mg_l_n"])
        return (
            f"This is {place} (guideline {guide}, gill damage {harm} mg/L toxic N); kinds of fish "
            "differ more than tenfold."
        )

    return sentence


def _criterion(remark: WaterRemark) -> str:
    criterion = _two(remark.numbers["criterion_mg_l_n"])
    return (
        f"Cautious reference for wild waters at this pH and temperature: {criterion} mg/L N of "
        "total ammonia over 30 days (set by mussels)."
    )


def _unit_decides(remark: WaterRemark) -> str:
    n = {name: _two(number) for name, number in remark.numbers.items()}
    return (
        f"The unit decides. {n['ion_mg_l']} mg/L is the ion, {n['nitrogen_mg_l']} mg/L its "
        f"nitrogen. At {remark.numbers['ratio']:g} to 1 the right amount is {n['right_g']} g; "
        f"taking the ion for nitrogen would give {n['ion_taken_for_nitrogen_g']} g, taking "
        f"nitrogen for the ion {n['nitrogen_taken_for_ion_g']} g."
    )


def _chloride_now(remark: WaterRemark) -> str:
    since, read = remark.numbers["since_mg_l"], remark.numbers.get("read_mg_l")
    if read is None:
        return f"Chloride was not read: the salt that was logged holds {since:.3g} mg/L of it."
    change = f"{abs(since):.3g} mg/L {'more' if since >= 0 else 'less'}"
    return (
        f"Chloride counts as it was read, {read:.3g} mg/L, and {change} by salt and changes since."
    )


def _ratio(remark: WaterRemark) -> str:
    claim = remark.claim
    if claim is None:
        raise ValueError("a ratio on record is a claim")
    return f"{claim.number():g} to 1: {claim.evidence} ({claim.provenance})."


def _by_oxygen(remark: WaterRemark) -> str:
    settled, airy = _two(remark.numbers["co2_mg_l"]), _two(remark.numbers["ph_in_air"])
    return (
        f"After gas exchange: free CO2 settles to {settled} mg/L, read from the gap to oxygen "
        "saturation (the fish make CO2 as they use oxygen). In balance with room air the pH would "
        f"be {airy}."
    )


def _in_air(remark: WaterRemark) -> str:
    settled = _two(remark.numbers["co2_mg_l"])
    return (
        f"After gas exchange: in balance with room air ({settled} mg/L CO2), because oxygen was "
        "not given; a stocked tank settles lower. Give --oxygen for its own figure."
    )


def _label(remark: WaterRemark) -> str:
    litres, off = remark.numbers["label_l"], remark.numbers["off_percent"]
    return f"The label says {litres:g} L, {off:+.0f} %: it is the tank, not the water in it."


_SENTENCES: Mapping[Remark, Callable[[WaterRemark], str]] = {
    Remark.BELOW_GUIDELINE: _against("below the guideline of a trade body"),
    Remark.ABOVE_GUIDELINE: _against(
        "above the guideline of a trade body, below the first gill damage of a leaflet"
    ),
    Remark.GILL_DAMAGE: _against("at or above the first gill damage of an extension leaflet"),
    Remark.AMMONIA_BOUND: _plainly(
        "A conditioner that binds ammonia can leave the test reading high: ask for it."
    ),
    Remark.AMMONIA_CRITERION: _criterion,
    Remark.BALANCE_WITH_AIR: _plainly(
        "A balance with air, not a forecast: fish, filter and night take it below."
    ),
    Remark.UNIT_DECIDES: _unit_decides,
    Remark.SALT_ONLY_EASES: _plainly(
        "Salt eases the uptake of nitrite; it does not take nitrite out. Water changes, less food "
        "and a ripe filter do. Before weighing it out, put it through tankside dose: limits of "
        "each kind, steps, people lines."
    ),
    Remark.RATIO_ON_RECORD: _ratio,
    Remark.CHLORIDE_NOW: _chloride_now,
    Remark.CO2_TARGET: lambda remark: (
        f"Clinical target of a textbook: below {remark.numbers['limit_mg_l']:g} mg/L."
    ),
    Remark.SETTLED_BY_OXYGEN: _by_oxygen,
    Remark.SETTLED_IN_AIR: _in_air,
    Remark.CALCIUM_UNKNOWN: _plainly(
        "Calcium not known: in hard water above pH 8 the true pH is up to 0.1 higher."
    ),
    Remark.TOXIC_RISES: _plainly(
        "The toxic share of ammonia rises although the total falls: change slowly, in smaller "
        "parts, or match the new water first."
    ),
    Remark.ONE_METHOD: _plainly("One method only: measure by a second before any dose."),
    Remark.METHODS_FAR_APART: _plainly(
        "The two methods are far apart: measure again before any dose."
    ),
    Remark.LABEL_IS_THE_TANK: _label,
    Remark.MEASURED_INSIDE: _plainly(
        "Measured inside the glass, up to the water line, not to the rim."
    ),
    Remark.EDGES_OF_SHAPE: _plainly("Edges hold 95 % of fish of this shape. Weighing is better."),
    Remark.DOSE_NEW_WATER: _plainly(
        "After a part change only the new water needs the agent again."
    ),
    Remark.NO_FILTER_NO_CHANGE: _plainly("With no working filter and no change of water."),
    Remark.TOO_FAST: lambda remark: (
        f"Faster than {remark.numbers['limit_c']:g} C in 24 h, the printed limit for tropical fish."
    ),
}
