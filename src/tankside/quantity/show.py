"""How an amount is written wherever a person reads it.

No trailing zero, always a leading zero, a no-break space before the unit, so that the two are
never wrapped apart. A reading as typed keeps its zeros (``reading``).
"""

from __future__ import annotations

from decimal import Decimal

from tankside.quantity.measured import Measured

NO_BREAK = "\N{NO-BREAK SPACE}"
VOLUME_DIGITS = 3
"""Significant digits of a volume; no tank is measured better."""
COMPARED_DIGITS = 4
"""Significant digits where two measurements of one volume stand side by side."""


def plain(value: Decimal) -> str:
    """Write a number in digits: no exponent, no trailing zero, a zero before the point."""
    text = f"{value:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def plain_blanks(text: str) -> str:
    """Return text with plain blanks, as machines read it."""
    return text.replace(NO_BREAK, " ")


def amount(value: Decimal | int, unit: str) -> str:
    """Write an amount with its unit, for a dose, a volume or a weight.

    Args:
        value: the amount, already rounded to what the tool can measure.
        unit: the unit with its basis, for example ``g`` or ``mg/L as Cu``.

    Returns:
        For example ``346 g``, ``0.5 mL``; joined by no-break spaces.
    """
    joined = " ".join((plain(Decimal(value)), *unit.split()))
    return joined.replace(" ", NO_BREAK)


def reading(measured: Measured) -> str:
    """Write a reading as it was typed, its zeros included."""
    return measured.text.replace(" ", NO_BREAK)


def rounded(value: float | Decimal, digits: int) -> Decimal:
    """Round to significant digits for display, half away from zero.

    This is the one rounding for figures that are only shown (a measured volume, a
    concentration); amounts to weigh out are rounded to the tool's step where they are worked out.
    """
    exact = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    if not exact.is_finite():
        raise ValueError("only a finite number can be shown")
    if exact == 0:
        return Decimal(0)
    step = Decimal(1).scaleb(exact.adjusted() - digits + 1)
    return exact.quantize(step, rounding="ROUND_HALF_UP")


def volume_words(litres: float | Decimal, digits: int = VOLUME_DIGITS) -> str:
    """Write a volume [L]: ``173 L``."""
    return amount(rounded(litres, digits), "L")
