"""The one way a formula says where it holds: a value that carries its own warnings.

Every formula of this room is described by a :class:`Method` and returns a :class:`Ranged`.
Outside the range in which a method was measured the value is still there, and so is a warning
that whoever shows it must show too; ``strict()`` turns the warning into a refusal. A missing
input (NaN in an hourly array) stays missing and raises no warning.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.errors import NotPossible

Floats = NDArray[np.float64]
Values = float | Floats
"""One number, or an array of any shape (hours, strata); formulas broadcast."""


def array(values: Values) -> Floats:
    """Return a number or array as an array of floats."""
    return np.asarray(values, dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Range:
    """Where a method was measured, for one of its inputs.

    Args:
        input: name of the argument, with its unit.
        low: lowest value covered (-inf when there is no lower edge).
        high: highest value covered (inf when there is no upper edge).
        words: the input in words with its unit, for the warning.
    """

    input: str
    low: float
    high: float
    words: str


@dataclass(frozen=True, slots=True)
class Outside:
    """A warning: an input lies outside the range of the method that was used."""

    method: str
    words: str
    value: float
    low: float
    high: float

    @property
    def text(self) -> str:
        """The warning as a sentence."""
        return (
            f"{self.words} {self.value:g} is outside the range {self.low:g} to {self.high:g} "
            f"in which {self.method} holds; the value is an extrapolation."
        )


@dataclass(frozen=True, slots=True)
class Ranged:
    """What a formula found, and the warnings that must be shown beside it.

    Args:
        values: the result; an array without dimensions for one number.
        warnings: one per input that left its range.
    """

    values: Floats
    warnings: tuple[Outside, ...] = ()

    @property
    def number(self) -> float:
        """The result as one number.

        Raises:
            TypeError: the result is an array, which is a fault of the caller.
        """
        if self.values.ndim:
            raise TypeError("the result is an array; read .values")
        return float(self.values)

    def strict(self) -> Ranged:
        """Return itself, or refuse when an input was out of range.

        Raises:
            NotPossible: E-WATER-01, with the input, its value and the range.
        """
        if self.warnings:
            first = self.warnings[0]
            raise NotPossible(
                "E-WATER-01",
                first.text,
                given=f"{first.value:g}",
                needed=f"{first.words} from {first.low:g} to {first.high:g}",
                next_step="Use a method that covers this water, or measure.",
                field=first.words,
            )
        return self


@dataclass(frozen=True, slots=True)
class Method:
    """A published formula as it is shown: what it gives, the equation, where it holds.

    Args:
        name: name of the function.
        gives: what it returns, with the unit.
        equation: the equation as printed, on one line.
        source: key of the work in the source register.
        ranges: where it was measured, one entry per input.
        note: what else one must know (scale, side on which it errs, misprints).
    """

    name: str
    gives: str
    equation: str
    source: str
    ranges: tuple[Range, ...] = ()
    note: str = ""

    def outside(self, **inputs: Values) -> tuple[Outside, ...]:
        """Return a warning for every input outside its range (the worst value of each)."""
        return tuple(
            warning
            for limits in self.ranges
            if limits.input in inputs
            and (warning := self._check(limits, array(inputs[limits.input])))
        )

    def _check(self, limits: Range, values: Floats) -> Outside | None:
        over = np.maximum(limits.low - values, values - limits.high)
        over = np.where(np.isnan(over), 0, over)
        if not np.any(over > 0):
            return None
        worst = float(values.flat[int(np.argmax(over))])
        return Outside(self.name, limits.words, worst, limits.low, limits.high)

    def result(self, values: Values, **inputs: Values) -> Ranged:
        """Return the result with the warnings its inputs earn."""
        return Ranged(array(values), self.outside(**inputs))


def temperature_range(low_c: float, high_c: float) -> Range:
    """Return a range of the water temperature [deg C]."""
    return Range("temperature_c", low_c, high_c, "temperature [C]")


def salinity_range(low_g_kg: float, high_g_kg: float) -> Range:
    """Return a range of the salinity [g/kg]."""
    return Range("salinity_g_kg", low_g_kg, high_g_kg, "salinity [g/kg]")


def ph_range(low: float, high: float) -> Range:
    """Return a range of pH."""
    return Range("ph", low, high, "pH")
