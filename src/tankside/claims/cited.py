"""Numbers that may stand in code: coefficients of a published formula, settings of a method.

Everything else a science room needs to know is a claim and is passed in. The literal
check in the tests accepts a number in a science room only inside one of these calls, but for
structural ones: 0, 1, 2, hours and minutes of a clock, powers of ten, numbers of columns.
"""

from __future__ import annotations


def cited(value: float, source: str, place: str = "") -> float:
    """Return a coefficient of a published formula, stating where it is printed.

    Args:
        value: the coefficient, in the units of the printed formula.
        source: key of the work in the source register (checked by the tests).
        place: equation, table or page.
    """
    del source, place
    return value


def unit_factor(value: float, what: str) -> float:
    """Return an exact conversion factor or physical constant, saying what it converts."""
    del what
    return value


def setting(value: float, why: str) -> float:
    """Return a number of the numerical method (tolerance, step, limit), saying why it is so."""
    del why
    return value


def whole_setting(value: int, why: str) -> int:
    """Return a whole number of the numerical method, saying why it is so."""
    del why
    return value
