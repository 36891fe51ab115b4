"""Find the amounts inside a sentence, so that paper and page can print them large and unbroken.

Display rules: a zero before the point, none trailing, a no-break space before the unit, so that
number and unit are never wrapped apart.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from tankside.quantity.show import NO_BREAK

_WEIGHED = re.compile(rf"\d+(?:\.\d+)?{NO_BREAK}(?:mg|g|mL|L)(?![\w/]|{NO_BREAK}as)")
_UNITS = r"(?:mg|g|kg|mL|L|C|cm|h|min)"
_LOOSE = re.compile(rf"(?<=\d) (?={_UNITS}\b)")


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of a sentence; ``is_amount`` when it is to be printed large."""

    text: str
    is_amount: bool


def pieces(sentence: str) -> tuple[Piece, ...]:
    """Split a sentence into plain stretches and amounts to weigh or measure out."""
    stretches: list[Piece] = []
    at = 0
    for match in _WEIGHED.finditer(sentence):
        if match.start() > at:
            stretches.append(Piece(sentence[at : match.start()], is_amount=False))
        stretches.append(Piece(match.group(), is_amount=True))
        at = match.end()
    if at < len(sentence):
        stretches.append(Piece(sentence[at:], is_amount=False))
    return tuple(stretches)


def tie_units(text: str) -> str:
    """Put a no-break space between a number and its unit wherever a plain one stands."""
    return _LOOSE.sub(NO_BREAK, text)
