"""A number with its unit, kept as typed, and the only place where units are converted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from tankside.errors import BadInput
from tankside.quantity.kind import Kind
from tankside.quantity.number import ASCII_BLANKS, parse_number
from tankside.quantity.ranges import check_plausible
from tankside.quantity.units import (
    CANONICAL,
    CONFUSABLE,
    SPELLINGS,
    UNITS,
    UNSAFE,
    WITHOUT_BASIS,
    Unit,
)

Kinds = Kind | Sequence[Kind]

MAY_BE_ZERO = frozenset(
    {
        Kind.TEMPERATURE, Kind.PH, Kind.SALINITY, Kind.PRACTICAL_SALINITY, Kind.OXYGEN,
        Kind.OXYGEN_SATURATION, Kind.AMMONIA, Kind.NITRITE, Kind.NITRATE, Kind.ALKALINITY,
        Kind.HARDNESS, Kind.CHLORIDE, Kind.CHLORINE, Kind.CARBON_DIOXIDE, Kind.COPPER,
        Kind.CONDUCTIVITY, Kind.RATE, Kind.TIME,
    }
)  # fmt: skip
"""Kinds for which 0 is a possible reading; an amount, length or volume is above 0."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A number as typed, with a unit of the closed list.

    ``value`` keeps the digits as typed; ``unit`` and ``basis`` are those of the list.
    """

    value: str
    unit: Unit

    @property
    def kind(self) -> Kind:
        """What is measured."""
        return self.unit.kind

    @property
    def text(self) -> str:
        """The number and the unit as typed, for example ``0.3 mg/L as N``."""
        return self.value if self.kind is Kind.PH else f"{self.value} {self.unit.text}"

    def canonical(self) -> Decimal:
        """The value in the canonical unit of its kind."""
        return Decimal(self.value) * self.unit.factor + self.unit.offset

    def to(self, unit_text: str) -> Decimal:
        """Convert to another unit of the same kind.

        Args:
            unit_text: a unit of the list with its basis, for example ``mg/L as N``.

        Raises:
            BadInput: E-UNIT-02 and its siblings when the unit does not belong to this kind.
        """
        target = find_unit(unit_text, self.kind, field="unit")
        if target.factor == self.unit.factor and target.offset == self.unit.offset:
            return Decimal(self.value)
        return (self.canonical() - target.offset) / target.factor

    def number(self, unit_text: str) -> float:
        """Return the value in a unit as a float, for the science rooms."""
        return float(self.to(unit_text))


def find_unit(text: str, kinds: Kinds, *, field: str) -> Unit:
    """Find a unit of the closed list by its exact spelling.

    Args:
        text: the unit as typed, with its basis where the kind needs one.
        kinds: the kind or kinds the field accepts.
        field: name of the box, option or column.

    Raises:
        BadInput: E-UNIT-01 missing, 02 other kind, 03 no basis, 04 unsafe, 05 not on the list.
    """
    wanted = (kinds,) if isinstance(kinds, Kind) else tuple(kinds)
    typed = " ".join(text.strip(ASCII_BLANKS).split(" ")).replace("  ", " ")
    head, blank, basis = typed.partition(" as ")
    name = SPELLINGS.get(head, head) + (f"{blank}{basis}")
    for kind in wanted:
        if name in UNITS[kind]:
            return UNITS[kind][name]
    raise _unit_fault(typed, name, wanted, field)


def _unit_fault(
    typed: str, name: str, wanted: Sequence[Kind], field: str, whole: str = ""
) -> BadInput:
    allowed = [text for kind in wanted for text in UNITS[kind]]
    needed = "one of: " + ", ".join(allowed)
    bare, low = name.partition(" as ")[0], name.lower()
    if not typed:
        return _fault("E-UNIT-01", "Choose a unit; none is assumed.", whole, field, needed)
    if bare in WITHOUT_BASIS or bare.lower() in WITHOUT_BASIS:
        instead = WITHOUT_BASIS.get(bare, WITHOUT_BASIS.get(bare.lower(), ""))
        message = "This ratio can be read in two ways."
        return _fault("E-UNIT-03", message, typed, field, instead)
    if any(text.startswith(f"{name} as ") for text in allowed):
        return _fault("E-UNIT-03", "Say what the mass is of.", typed, field, needed)
    if bare.lower() in UNSAFE:
        return _fault("E-UNIT-04", "This is not a safe unit.", typed, field, UNSAFE[bare.lower()])
    if bare in CONFUSABLE:
        message = "Capital and small letters make this unit unclear."
        return _fault("E-UNIT-05", message, typed, field, needed)
    if any(name in units or bare in units for units in UNITS.values()):
        kinds = " or ".join(wanted)
        return _fault("E-UNIT-02", f"This unit does not measure {kinds}.", typed, field, needed)
    if low in {text.lower() for units in UNITS.values() for text in units}:
        message = "Capital and small letters matter in a unit."
        return _fault("E-UNIT-05", message, typed, field, needed)
    return _fault("E-UNIT-05", "This unit is not on the list.", typed, field, needed)


def _fault(code: str, message: str, typed: str, field: str, needed: str) -> BadInput:
    return BadInput(
        code,
        message,
        given=typed,
        needed=needed,
        next_step="Type the number with one of these units; nothing was saved.",
        field=field,
    )


def measured(value: object, unit: str, kinds: Kinds, *, field: str) -> Measured:
    """Check a number and a unit that come apart (a case file, a form).

    Raises:
        BadInput: E-NUM-*, E-UNIT-* or E-RANGE-01.
    """
    if not unit.strip(ASCII_BLANKS):
        raise _no_unit(str(value), kinds, field)
    listed = find_unit(unit, kinds, field=field)
    number = parse_number(
        value,
        field=field,
        positive=listed.kind not in MAY_BE_ZERO,
        negative=listed.kind is Kind.TEMPERATURE,
    )
    result = Measured(str(value).strip(ASCII_BLANKS), listed)
    check_plausible(number * listed.factor + listed.offset, listed.kind, result.text, field)
    return result


def parse_quantity(
    text: object, kinds: Kinds, *, field: str, comma_declared: bool = False
) -> Measured:
    """Read a number with its unit from one text, for example ``0.3 mg/L as N``.

    Args:
        text: what was typed.
        kinds: the kind or kinds the field accepts; pH needs no unit.
        field: name of the box, option or column.
        comma_declared: the file declares a decimal comma.

    Raises:
        BadInput: E-NUM-*, E-UNIT-* or E-RANGE-01.
    """
    if not isinstance(text, str):
        raise BadInput(
            "E-NUM-06",
            "This must be typed as text: a number and its unit.",
            given=text,
            needed='for example "12.5 L"',
            next_step="Put the value in quotes with its unit; nothing was saved.",
            field=field,
        )
    value, unit = _split(text.strip(ASCII_BLANKS), field)
    if kinds is Kind.PH and not unit:
        unit = CANONICAL[Kind.PH]
    if comma_declared and value:
        value = str(parse_number(value, field=field, negative=True, comma_declared=True))
    elif value or not unit:
        parse_number(value, field=field, negative=True)
    if not unit:
        raise _no_unit(text, kinds, field)
    return measured(value, unit, kinds, field=field)


def _no_unit(text: str, kinds: Kinds, field: str) -> BadInput:
    wanted = (kinds,) if isinstance(kinds, Kind) else kinds
    return _unit_fault("", "", wanted, field, whole=text)


def _split(text: str, field: str) -> tuple[str, str]:
    """Part a text into its number and its unit without judging either."""
    joined = re.fullmatch(r"([-+]?[0-9][0-9.,_]*)([A-Za-z°%µ‰/].*)", text)
    if joined and not re.match(r"[eExX][-+]?[0-9]", joined.group(2)):
        return joined.group(1), joined.group(2)
    value, _, rest = text.partition(" ")
    rest = rest.strip(ASCII_BLANKS)
    if re.match(r"(?:-|to\b|\.\.)", rest):
        raise BadInput(
            "E-NUM-11",
            "A range is not a number.",
            given=text,
            needed="one plain number with its unit",
            next_step="Type one number; nothing was saved.",
            field=field,
        )
    if re.match(r"[0-9.,]", rest):
        raise BadInput(
            "E-NUM-02",
            "A blank inside a number is not read.",
            given=text,
            needed="digits and at most one point, then the unit, for example 1250 L",
            next_step="Type the number without blanks; nothing was saved.",
            field=field,
        )
    return value, rest
