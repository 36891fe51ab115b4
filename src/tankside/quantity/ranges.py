"""What can be at all: readings outside these bounds are slips of the pen or of the unit.

The bounds are generous limits of the physically possible or of any water that holds fish;
they are no statement about what is good. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from tankside.errors import BadInput
from tankside.quantity.kind import Kind

BOUNDS: Mapping[Kind, tuple[Decimal, Decimal, str]] = MappingProxyType(
    {
        kind: (Decimal(low), Decimal(high), unit)
        for kind, low, high, unit in (
            (Kind.PH, "3", "12", "pH"),
            (Kind.DENSITY, "0.5", "2.5", "g/mL"),
            (Kind.TEMPERATURE, "-2", "45", "C"),
            (Kind.SALINITY, "0", "150", "g/L"),
            (Kind.PRACTICAL_SALINITY, "0", "150", "psu"),
            (Kind.OXYGEN, "0", "40", "mg/L"),
            (Kind.OXYGEN_SATURATION, "0", "500", "% saturation"),
            (Kind.AMMONIA, "0", "200", "mg/L as N"),
            (Kind.NITRITE, "0", "200", "mg/L as N"),
            (Kind.NITRATE, "0", "1000", "mg/L as N"),
            (Kind.ALKALINITY, "0", "2000", "mg/L as CaCO3"),
            (Kind.HARDNESS, "0", "20000", "mg/L as CaCO3"),
            (Kind.CHLORIDE, "0", "100000", "mg/L"),
            (Kind.CHLORINE, "0", "50", "mg/L"),
            (Kind.CARBON_DIOXIDE, "0", "500", "mg/L"),
            (Kind.COPPER, "0", "50", "mg/L as Cu"),
            (Kind.CONDUCTIVITY, "0", "200", "mS/cm"),
            (Kind.RATE, "0", "600", "per min"),
            (Kind.STRENGTH_W_W, "0", "100", "% w/w"),
            (Kind.STRENGTH_V_V, "0", "100", "% v/v"),
            (Kind.STRENGTH_W_V, "0", "500", "% w/v"),
        )
    }
)


def check_plausible(canonical: Decimal, kind: Kind, typed: str, field: str) -> None:
    """Refuse a reading that cannot be, so that the unit is looked at again.

    Args:
        canonical: the value in the canonical unit of its kind.
        kind: what is measured; kinds without bounds pass.
        typed: the reading as typed.
        field: name of the box, option or column.

    Raises:
        BadInput: E-RANGE-01.
    """
    if kind not in BOUNDS:
        return
    low, high, unit = BOUNDS[kind]
    if not low <= canonical <= high:
        raise BadInput(
            "E-RANGE-01",
            f"This {kind} is outside what can be.",
            given=typed,
            needed=f"between {low} and {high} {unit}",
            next_step="Check the digits and the unit; nothing was saved.",
            field=field,
        )
