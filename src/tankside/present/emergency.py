"""The emergency card: the same data on paper, on a page and in a terminal, without any case."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from tankside.present.typesetting import set_page


@dataclass(frozen=True, slots=True)
class Danger:
    """One danger and the steps against it, first things first."""

    key: str
    title: str
    steps: tuple[str, ...]
    basis: str


@dataclass(frozen=True, slots=True)
class EmergencyCard:
    """All dangers, people first."""

    title: str
    lead: str
    foot: str
    parts: tuple[Danger, ...]


@cache
def emergency_card() -> EmergencyCard:
    """Read the card that ships with the program."""
    text = files("tankside.present").joinpath("data", "emergency.toml").read_text(encoding="utf-8")
    content = tomllib.loads(text)
    parts = tuple(
        Danger(part["key"], part["title"], tuple(part["steps"]), part["basis"])
        for part in content["part"]
    )
    return EmergencyCard(content["title"], content["lead"], content["foot"], parts)


def as_text(card: EmergencyCard) -> str:
    """Write the card for a terminal or a message."""
    rows = [card.title, card.lead]
    for part in card.parts:
        rows += ["", part.title.upper()]
        rows += [f"{number}. {step}" for number, step in enumerate(part.steps, 1)]
    return "\n".join([*rows, "", card.foot]) + "\n"


def as_pdf(card: EmergencyCard, paper: str = "a4") -> bytes:
    """Return the card as one printed page.

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
    """
    parts = [{"title": part.title, "steps": list(part.steps)} for part in card.parts]
    data = {"title": card.title, "lead": card.lead, "foot": card.foot, "parts": parts}
    return set_page("emergency.typ", "card", data, paper)
