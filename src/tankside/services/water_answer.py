"""One water calculation answered: inputs, results, formula, source, range warnings, rivals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.claims import Knowledge
from tankside.quantity import Kind, parse_number, parse_quantity
from tankside.quantity.show import NO_BREAK, plain, rounded
from tankside.water.choose import Choice
from tankside.water.ranged import Method, Outside

AS_N, AS_CACO3 = "mg/L as N", "mg/L as CaCO3"
DIGITS = 3
"""Significant digits of a shown result; no input of this trade is better known."""


@dataclass(frozen=True, slots=True)
class Result:
    """One figure of the answer; ``unit`` carries its basis."""

    name: str
    value: float
    unit: str
    digits: int = DIGITS

    @property
    def text(self) -> str:
        """The figure as a person reads it."""
        number = plain(rounded(self.value, self.digits))
        return f"{number} {self.unit}".strip().replace(" ", NO_BREAK)


@dataclass(frozen=True, slots=True)
class Rival:
    """What another method says of the same water."""

    method: str
    value: float
    unit: str
    in_range: bool


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula that was used, with its work."""

    method: str
    gives: str
    equation: str
    source: str
    citation: str
    doi: str
    note: str


@dataclass(frozen=True, slots=True)
class Shown:
    """A whole answer.

    Args:
        calculation: name of the calculation.
        inputs: (name, text as typed) in order.
        results: figures, the most important first.
        formulas: what was used.
        why: why the default method was used ("" when there is no rival).
        rivals: what the others say.
        warnings: inputs out of range, and other things that must be read.
        notes: what else one should know.
    """

    calculation: str
    inputs: tuple[tuple[str, str], ...]
    results: tuple[Result, ...]
    formulas: tuple[Formula, ...]
    why: str = ""
    rivals: tuple[Rival, ...] = ()
    warnings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def formula(method: Method, facts: Knowledge) -> Formula:
    """Return a method with the work it comes from."""
    work = facts.source(method.source)
    return Formula(
        method.name,
        method.gives,
        method.equation,
        method.source,
        work.citation,
        work.doi,
        method.note,
    )


def rivals_of(choice: Choice, factor: float, unit: str) -> tuple[Rival, ...]:
    """Return what the rivals of a choice say, in the unit of the result."""
    return tuple(
        Rival(answer.method.name, answer.result.number * factor, unit, answer.in_range)
        for answer in choice.rivals
    )


def words(*groups: Sequence[Outside]) -> tuple[str, ...]:
    """Return range warnings as sentences, each once."""
    return tuple(dict.fromkeys(found.text for group in groups for found in group))


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
