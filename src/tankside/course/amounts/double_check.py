"""The second sum: from the printed words back to mg/L, written apart from the first.

Works on text only, in exact fractions, and imports nothing of the forward sum. What it reads is
what the keeper reads: the amount, the label, the stock solution if there is one, the litres.
"""

from __future__ import annotations

import re
from fractions import Fraction

from tankside.claims import setting
from tankside.errors import NotPossible

AGREEMENT = Fraction(str(setting(1e-9, "two exact sums differ by nothing but printed digits")))
ROUNDING = Fraction(str(setting(0.02, "a tool may be off by 2 % of the amount at most")))

_AMOUNT = re.compile(r"(?P<n>[0-9]+(?:\.[0-9]+)?)\s(?P<u>mg|g|mL)")
_LABEL = re.compile(
    r"strength (?P<s>[0-9.]+) (?P<basis>pure|w/w|w/v|v/v|mg/mL|as product, by volume|as product); "
    r"1 of (?P<form>.+) holds (?P<share>[0-9.]+); density (?P<d>[0-9.]+|not known)"
)
_STOCK = re.compile(
    r"(?:Dissolve|Dilute) (?P<n>[0-9.]+)\s(?P<u>mg|g|mL) in water to make "
    r"(?P<v>[0-9.]+)\s(?P<w>mg|g|mL)"
)
_MILLI = Fraction("0.001")


def strength_from_print(amount: str, label: str, stock: str, litres: str) -> Fraction:
    """Return the strength [mg/L, or uL/L for v/v labels] that the printed words amount to.

    Args:
        amount: for example "85 mg".
        label: the label line, for example "strength 1 pure; 1 of CuSO4.5H2O holds 0.2545;
            density not known".
        stock: words of the stock solution, or "".
        litres: for example "120.6".

    Raises:
        NotPossible: E-DOSE-900 when the words cannot be read.
    """
    measured = _read(_AMOUNT, amount)
    entry = _read(_LABEL, label)
    number, unit = Fraction(measured["n"]), measured["u"]
    if stock:
        made = _read(_STOCK, stock)
        if unit != made["w"]:
            raise _failed(f"{amount} of a stock solution")
        number, unit = Fraction(made["n"]) * number / Fraction(made["v"]), made["u"]
    form_mg = _form_mg(number, unit, entry)
    return form_mg * Fraction(entry["share"]) / Fraction(litres)


def _form_mg(number: Fraction, unit: str, entry: dict[str, str]) -> Fraction:
    """Return milligrams (microlitres for v/v) of the form named on the label."""
    strength = Fraction(entry["s"])
    by_mass = entry["basis"] in ("pure", "w/w", "as product")
    if by_mass:
        grams = number * _density(entry) if unit == "mL" else number
        milligrams = grams if unit == "mg" else grams / _MILLI
        return milligrams * strength
    millilitres = number if unit == "mL" else _grams(number, unit) / _density(entry)
    if entry["basis"] == "mg/mL":
        return millilitres * strength
    return millilitres * strength / _MILLI


def _grams(number: Fraction, unit: str) -> Fraction:
    return number * _MILLI if unit == "mg" else number


def _density(entry: dict[str, str]) -> Fraction:
    if entry["d"] == "not known":
        raise _failed("the label gives no density")
    return Fraction(entry["d"])


def _read(pattern: re.Pattern[str], text: str) -> dict[str, str]:
    match = pattern.search(text)
    if match is None:
        raise _failed(text)
    return match.groupdict()


def _failed(difference: str) -> NotPossible:
    return NotPossible(
        "E-DOSE-900",
        "The internal check of this amount failed; no amount is shown.",
        given=difference,
        needed="two independent sums that agree",
        next_step="Do not dose. Report this with the label and the volume.",
    )


def confirm(
    amount: str, label: str, stock: str, litres: str, claimed_mg_l: str, asked_mg_l: str
) -> None:
    """Raise E-DOSE-900 unless the printed words give what was claimed and what was asked.

    What was claimed is the strength after rounding and must agree to the digit; what was asked
    comes from the request itself, so that a fault in the target is seen too.
    """
    back = strength_from_print(amount, label, stock, litres)
    for wanted, allowed in ((Fraction(claimed_mg_l), AGREEMENT), (Fraction(asked_mg_l), ROUNDING)):
        if not abs(back - wanted) <= (allowed + AGREEMENT) * abs(wanted):
            raise _failed(f"{amount} in {litres} L: {float(back):.6g} against {float(wanted):.6g}")
