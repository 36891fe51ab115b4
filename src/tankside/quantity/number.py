"""The one strict number parser for every door: it refuses, it never repairs.

Accepted: ASCII digits, at most one decimal point with digits on both sides, an optional
leading minus where the field allows it, outer ASCII blanks. The digits stay as typed
(``7.0`` keeps its zero), because how finely something was measured is information.
"""

from __future__ import annotations

import re
from decimal import Decimal

from tankside.errors import BadInput

LONGEST_DIGITS = 15
ASCII_BLANKS = " \t\r\n"

_PLAIN = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?")
_EXPONENT = re.compile(r"[-+]?[0-9]+(?:\.[0-9]*)?[eE]([-+]?[0-9]+)")
_LOOKALIKE = str.maketrans({"l": "1", "I": "1", "O": "0", "o": "0", "S": "5", "−": "-", "–": "-"})
_INFINITE = {"inf", "infinity", "+inf", "-inf", "+infinity", "-infinity"}
_LARGEST_EXPONENT = 308
_EXAMPLE = "digits and at most one point, for example 12.5"


def parse_number(
    text: object,
    *,
    field: str,
    positive: bool = False,
    negative: bool = False,
    comma_declared: bool = False,
) -> Decimal:
    """Read one number exactly as typed, or refuse it with a stable code.

    Args:
        text: what was typed; anything but text is refused as a wrong type.
        field: name of the box, option or column, for the message.
        positive: the value must be above 0 (amounts, volumes, weights, lengths).
        negative: a value below 0 is allowed (temperature).
        comma_declared: the file declares a decimal comma; then a point is refused instead.

    Returns:
        The value; its digits, trailing zeros included, are those typed.

    Raises:
        BadInput: E-NUM-01 to E-NUM-11 (see the message for what is needed).
    """
    if not isinstance(text, str):
        raise _refuse("E-NUM-06", "This must be typed as text in digits.", text, field)
    body = text.strip(ASCII_BLANKS)
    if not body:
        raise _refuse("E-NUM-01", "A number is needed here.", "", field)
    if comma_declared:
        body = _swap_comma(body, field)
    if not _PLAIN.fullmatch(body):
        raise _explain(body, text, field)
    if sum(map(str.isdigit, body)) > LONGEST_DIGITS:
        raise _refuse("E-NUM-10", f"A number has at most {LONGEST_DIGITS} digits.", text, field)
    value = Decimal(body)
    _check_sign(value, body, field, positive=positive, negative=negative)
    return value


def _check_sign(value: Decimal, body: str, field: str, *, positive: bool, negative: bool) -> None:
    minus_zero = body.startswith("-") and value == 0
    if positive and not value > 0:
        raise _refuse("E-NUM-09", "This must be above 0.", body, field, "a number above 0")
    if minus_zero or (value < 0 and not negative):
        raise _refuse("E-NUM-09", "This cannot be below 0.", body, field, "0 or a number above 0")


def _swap_comma(body: str, field: str) -> str:
    if "." in body:
        raise _refuse(
            "E-NUM-02",
            "This file declares a decimal comma, so a point is not read.",
            body,
            field,
            "1,5 in this file; no thousands marks",
        )
    return body.replace(",", ".")


def _refuse(code: str, message: str, typed: object, field: str, needed: str = "") -> BadInput:
    return BadInput(
        code,
        message,
        given=typed,
        needed=needed or _EXAMPLE,
        next_step="Type the number again; nothing was saved.",
        field=field,
    )


def _explain(body: str, text: str, field: str) -> BadInput:
    """Say which rule a text that is no plain number breaks."""
    for rule in (_not_finite, _foreign, _marks, _not_alone):
        fault = rule(body)
        if fault:
            return _refuse(fault[0], fault[1], text, field, fault[2])
    return _refuse("E-NUM-04", "This is not a number.", text, field)


_Broken = tuple[str, str, str] | None


def _not_finite(body: str) -> _Broken:
    if body.lower() in _INFINITE:
        return "E-NUM-05", "This is not a finite number.", ""
    if len(body) > 2 * LONGEST_DIGITS and re.fullmatch(r"-?[0-9]*\.?[0-9]*", body):
        return "E-NUM-10", f"A number has at most {LONGEST_DIGITS} digits.", ""
    scientific = _EXPONENT.fullmatch(body)
    if not scientific:
        return None
    sign_and_digits = scientific.group(1)
    huge = len(sign_and_digits) > LONGEST_DIGITS or abs(int(sign_and_digits)) > _LARGEST_EXPONENT
    if huge and sign_and_digits.startswith("-"):
        return "E-NUM-10", "This is too small to be told apart from 0.", ""
    if huge:
        return "E-NUM-05", "This is not a finite number.", ""
    return (
        "E-NUM-07",
        "Write the number out in digits, without an exponent.",
        "1000 rather than 1e3",
    )


def _foreign(body: str) -> _Broken:
    if any(c.isnumeric() and not c.isdecimal() for c in body):
        return "E-NUM-07", "Only digits and one point are read, no fraction or power signs.", ""
    if any(not c.isascii() and not c.isalpha() for c in body) and re.search(r"\d", body):
        if body[0] in "≤≥≈±":
            return "E-NUM-11", "A limit or an estimate is not a number.", "one plain number"
        return "E-NUM-08", "Only the digits 0 to 9, a plain point and a plain minus are read.", ""
    swapped = body.translate(_LOOKALIKE)
    if swapped != body and _PLAIN.fullmatch(swapped):
        return "E-NUM-08", "A letter stands where a digit should be.", "the digits 0 and 1"
    return None


def _marks(body: str) -> _Broken:
    number_like = re.fullmatch(r"[-+]?[0-9][0-9.,' ]*", body)
    if number_like and ("," in body or "'" in body or " " in body):
        return (
            "E-NUM-02",
            "A comma, mark or blank inside a number is not read.",
            "1.5; no thousands marks",
        )
    if re.fullmatch(r"-?\.[0-9]+", body) or re.fullmatch(r"-?[0-9.]+", body):
        return (
            "E-NUM-03",
            "A point needs a digit on both sides, and no extra 0 goes in front.",
            "0.5",
        )
    if re.fullmatch(r"\+[0-9.]+|-?[0-9_.]+|-?0[xXbBoO][0-9a-fA-F]+", body):
        return "E-NUM-07", "Only digits and one point are read.", ""
    return None


def _not_alone(body: str) -> _Broken:
    if re.fullmatch(r"[0-9.]+ *(?:-|to|\.\.\.) *[0-9.]+", body) or body[0] in "~<>":
        return "E-NUM-11", "A range, limit or estimate is not a number.", "one plain number"
    if re.match(r"[-+]?[0-9]", body):
        return "E-NUM-11", "Only the number goes here.", "the number alone, without unit or words"
    return None
