"""Write the numbers that stand in the words of an action."""

from __future__ import annotations

from functools import lru_cache

from tankside.claims import whole_setting
from tankside.quantity.show import amount, rounded

_DIGITS = whole_setting(4, "significant digits of a litre, a degree or a minute in words")


@lru_cache(maxsize=whole_setting(2048, "a course says the same litres again and again"))
def show(value: float, unit: str) -> str:
    """Return a number with its unit, never wrapped apart, without trailing zeros."""
    return amount(rounded(value, _DIGITS), unit)
