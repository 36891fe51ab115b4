"""One water calculation answered as data: inputs, figures, formulas, rivals, what to say beside."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from tankside.claims import Claim, Knowledge, Source
from tankside.quantity import Kind, parse_number, parse_quantity
from tankside.water.choose import Choice
from tankside.water.ranged import Method, Outside

AS_N, AS_CACO3 = "mg/L as N", "mg/L as CaCO3"
DIGITS = 3
"""Significant digits of a shown result; no input of this trade is better known."""


class WaterFigure(StrEnum):
    """What a figure is of."""

    TOXIC_AMMONIA = "toxic_ammonia"
    TOXIC_SHARE = "toxic_share"
    TOXIC_BEFORE = "toxic_before"
    TOXIC_AT_ONCE = "toxic_at_once"
    TOXIC_SETTLED = "toxic_settled"
    OXYGEN_FULL = "oxygen_full"
    OXYGEN_SHARE = "oxygen_share"
    OXYGEN_WARMED = "oxygen_warmed"
    SALT_AT_RATIO = "salt_at_ratio"
    NITRITE_ION = "nitrite_ion"
    NITRITE_NITROGEN = "nitrite_nitrogen"
    FREE_CO2 = "free_co2"
    PH_AT_ONCE = "ph_at_once"
    PH_SETTLED = "ph_settled"
    MIXED_ALKALINITY = "mixed_alkalinity"
    NET_WATER = "net_water"
    SECOND_VOLUME = "second_volume"
    VOLUME_DIFFERENCE = "volume_difference"
    WEIGHT_OF_ONE = "weight_of_one"
    WEIGHT_LOW = "weight_low"
    WEIGHT_HIGH = "weight_high"
    WEIGHT_OF_ALL = "weight_of_all"
    PASSED = "passed"
    TURNOVERS = "turnovers"
    LEFT = "left"
    CHANGES_TO_TWENTIETH = "changes_to_twentieth"
    AMMONIA_RISE = "ammonia_rise"
    AMMONIA_MADE = "ammonia_made"
    HEATER_POWER = "heater_power"
    WARMING_RATE = "warming_rate"


class Remark(StrEnum):
    """What must be read beside the figures."""

    BELOW_GUIDELINE = "below_guideline"
    ABOVE_GUIDELINE = "above_guideline"
    GILL_DAMAGE = "gill_damage"
    AMMONIA_BOUND = "ammonia_bound"
    AMMONIA_CRITERION = "ammonia_criterion"
    BALANCE_WITH_AIR = "balance_with_air"
    UNIT_DECIDES = "unit_decides"
    SALT_ONLY_EASES = "salt_only_eases"
    RATIO_ON_RECORD = "ratio_on_record"
    CHLORIDE_NOW = "chloride_now"
    CO2_TARGET = "co2_target"
    SETTLED_BY_OXYGEN = "settled_by_oxygen"
    SETTLED_IN_AIR = "settled_in_air"
    CALCIUM_UNKNOWN = "calcium_unknown"
    TOXIC_RISES = "toxic_rises"
    ONE_METHOD = "one_method"
    METHODS_FAR_APART = "methods_far_apart"
    LABEL_IS_THE_TANK = "label_is_the_tank"
    MEASURED_INSIDE = "measured_inside"
    EDGES_OF_SHAPE = "edges_of_shape"
    DOSE_NEW_WATER = "dose_new_water"
    NO_FILTER_NO_CHANGE = "no_filter_no_change"
    TOO_FAST = "too_fast"


@dataclass(frozen=True, slots=True)
class WaterResult:
    """One figure of an answer.

    Args:
        figure: what it is of.
        value: the figure.
        unit: its unit with its basis.
        digits: significant digits that are worth showing.
        which: which of several, where one answer holds more of a kind (the ratio, the method).
    """

    figure: WaterFigure
    value: float
    unit: str
    digits: int = DIGITS
    which: str = ""


@dataclass(frozen=True, slots=True)
class RivalResult:
    """What another method says of the same water."""

    method: str
    value: float
    unit: str
    in_range: bool


@dataclass(frozen=True, slots=True)
class UsedFormula:
    """A formula that was used, with the work it comes from."""

    method: Method
    work: Source


@dataclass(frozen=True, slots=True)
class WaterRemark:
    """Something to be read beside the figures, with the numbers and the claim it speaks of."""

    remark: Remark
    numbers: Mapping[str, float] = field(default_factory=dict)
    claim: Claim | None = None


@dataclass(frozen=True, slots=True)
class WaterAnswer:
    """A whole answer.

    Args:
        calculation: name of the calculation.
        inputs: (name, text as typed) in order.
        results: figures, the most important first.
        formulas: what was used; empty where it is plain arithmetic.
        why: why the default method was used ("" when there is no rival), as the knowledge has it.
        rivals: what the others say.
        outside: inputs out of the range of a method, each once.
        warnings: what else must be read first.
        notes: what one should know.
    """

    calculation: str
    inputs: tuple[tuple[str, str], ...]
    results: tuple[WaterResult, ...]
    formulas: tuple[UsedFormula, ...] = ()
    why: str = ""
    rivals: tuple[RivalResult, ...] = ()
    outside: tuple[Outside, ...] = ()
    warnings: tuple[WaterRemark, ...] = ()
    notes: tuple[WaterRemark, ...] = ()


def formula(method: Method, facts: Knowledge) -> UsedFormula:
    """Return a method with the work it comes from."""
    return UsedFormula(method, facts.source(method.source))


def rivals_of(choice: Choice, factor: float, unit: str) -> tuple[RivalResult, ...]:
    """Return what the rivals of a choice say, in the unit of the result."""
    return tuple(
        RivalResult(answer.method.name, answer.result.number * factor, unit, answer.in_range)
        for answer in choice.rivals
    )


def once(*groups: Sequence[Outside]) -> tuple[Outside, ...]:
    """Return the range warnings of several formulas, each once."""
    return tuple(dict.fromkeys(outside for group in groups for outside in group))


def quantity(text: str, kind: Kind, unit: str, field: str) -> float:
    """Read a typed quantity strictly and return it in a unit.

    Raises:
        BadInput: as ``tankside.quantity.parse_quantity``.
    """
    return parse_quantity(text, kind, field=field).number(unit)


def celsius(text: str, field: str = "temperature") -> float:
    """Read a typed temperature in deg C.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-RANGE-01.
    """
    return quantity(text, Kind.TEMPERATURE, "C", field)


def salinity_g_kg(text: str | None) -> float:
    """Read a typed salinity, in g/L or as a meter's practical salinity; 0 when left out.

    Both are taken as g/kg: practical salinity is within 0.5 % of it, g/L 2.5 % above at full
    sea strength, which moves oxygen and toxic ammonia by less than 0.6 %.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-RANGE-01.
    """
    if text is None:
        return 0.0
    typed = parse_quantity(text, (Kind.SALINITY, Kind.PRACTICAL_SALINITY), field="salinity")
    return float(typed.canonical())


def entries(**typed: str | None) -> tuple[tuple[str, str], ...]:
    """Return what was typed as (name, text), leaving out what was not."""
    return tuple((name.replace("_", " "), text) for name, text in typed.items() if text is not None)


def positive(text: str, field: str) -> float:
    """Read a typed number above 0.

    Raises:
        BadInput: E-NUM-*.
    """
    return float(parse_number(text, field=field, positive=True))
