"""How the pieces of an entry are written in one line of plain words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tankside.case.parts import Amount, Looked
from tankside.quantity.show import NO_BREAK

STATES = {
    "not_looked": "not looked",
    "keeper_does_not_know": "keeper does not know",
    "none": "none",
}

FindingWords = Callable[[Looked], tuple[str, tuple[str, ...]]]
"""From what was looked at to its label and its answers in plain words."""


@dataclass(frozen=True, slots=True)
class Wording:
    """What the text of an entry needs beside the entry.

    Args:
        finding: label and answers of what was looked at, in plain words.
        entry: the text of another entry (what stands in place of a corrected one).
    """

    finding: FindingWords
    entry: Callable[[Any], str]

    def looked(self, looked: Looked) -> str:
        """Write what was seen of one finding."""
        return looked_text(looked, self.finding)


def as_typed(looked: Looked) -> tuple[str, tuple[str, ...]]:
    """Return a finding and its answers as they were typed, blanks for underscores."""
    return looked.finding, tuple(answer.replace("_", " ") for answer in looked.answers)


def looked_text(looked: Looked, finding_words: FindingWords) -> str:
    """Write what was seen of one finding."""
    label, answers = finding_words(looked)
    seen = STATES.get(looked.state) or " or ".join(answers)
    number = "" if looked.number is None else f"{looked.number} "
    of_fish = "" if looked.examined is None else f" on {looked.infected} of {looked.examined}"
    return f"{label}: {number}{seen}{of_fish}"


def amount_text(amount: Amount) -> str:
    """Write an amount as it was typed, number and unit kept together."""
    unit = f"{amount.unit} {amount.basis}" if amount.basis else amount.unit
    text = amount.value if amount.unit == "pH" else f"{amount.value} {unit}"
    return text.replace(" ", NO_BREAK)


def value_text(value: object) -> str:
    """Write the value of a field: an amount, several names, a state or the word itself."""
    if isinstance(value, Amount):
        return amount_text(value)
    if isinstance(value, tuple):
        return " and ".join(map(str, value))
    return STATES.get(str(value), str(value))


def told_text(before: str, value: object, after: str = "") -> str:
    """Write a value with words before and after it, or nothing when it was not told."""
    if value in (None, "", ()):
        return ""
    return " ".join(part for part in (before, value_text(value), after) if part)


def plain(word: str) -> str:
    """Write a word of a closed list with blanks."""
    return word.replace("_", " ")


def joined(*parts: object) -> str:
    """Join what was told with commas; what is absent or empty is left out."""
    return ", ".join(str(part) for part in parts if part not in (None, "", ()))
