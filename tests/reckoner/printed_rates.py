"""Rates, forms, names and hard limits, read from the knowledge files by a reader of their own."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

DATA = Path(__file__).resolve().parents[2] / "src" / "tankside" / "library" / "data"
SALT = "sodium_chloride"


@dataclass(frozen=True)
class Printed:
    """What is printed of one agent.

    ``half_life_h`` is (shortest, longest); None where no figure was found. ``carbon`` tells whether
    carbon might take it up. ``parts`` is how much of the agent one part of a named form answers.
    """

    id: str
    half_life_h: tuple[Decimal, Decimal] | None
    carbon: bool
    parts: dict[str, Fraction] = field(default_factory=dict)
    hard_mg_l: Fraction | None = None
    rock_per_h: Decimal = Decimal(0)


@dataclass(frozen=True)
class Shelf:
    """All agents by id, and every name of a substance with the form that it tells."""

    agents: dict[str, Printed]
    names: dict[str, tuple[str, str]]
    feared_half_life_h: Decimal
    carbon_per_h: Decimal
    one_method_error: Fraction
    stop_difference: Fraction

    def named(self, name: str) -> tuple[str, Fraction] | None:
        """Return (agent, parts of it in one part of what the name tells), or None: nobody knows."""
        pair = self.names.get(plain(name))
        if pair is None:
            return None
        agent, form = pair
        return agent, self.agents[agent].parts.get(form, Fraction(1))


def plain(name: str) -> str:
    """Return a name without capitals, blanks, hyphens and underscores."""
    return "".join(letter for letter in name.casefold() if letter not in " -_.·")


def read_shelf() -> Shelf:
    """Read all agents and the few rules of practice that the account rests on."""
    agents: dict[str, Printed] = {}
    names: dict[str, tuple[str, str]] = {}
    for path in sorted((DATA / "agents").glob("*.toml")):
        file = _load(path)
        agent = file["agent"]
        if agent["kind"] != "substance":
            continue
        agents[agent["id"]] = _agent(agent["id"], file["claim"])
        for name, form in _names(agent):
            names.setdefault(plain(name), (agent["id"], form))
    practice = {claim["key"]: claim for claim in _load(DATA / "practice" / "course.toml")["claim"]}
    return Shelf(
        agents,
        names,
        practice["shortest_half_life"]["value"],
        practice["carbon_loss"]["high"],
        Fraction(practice["volume_ask_difference"]["value"]),
        Fraction(practice["volume_stop_difference"]["value"]),
    )


def _load(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)


def _names(agent: dict[str, Any]) -> list[tuple[str, str]]:
    also = [(row["name"], row.get("form", "")) for row in agent.get("also", [])]
    short = agent["name"].partition(" (")[0]
    return [(agent["id"], ""), (agent["name"], ""), (short, ""), *also]


def _agent(name: str, claims: list[dict[str, Any]]) -> Printed:
    half_life, carbon, parts, rock_per_h = None, True, {}, Decimal(0)
    hard: list[Fraction] = []
    for claim in claims:
        key = claim["key"]
        if key == "half_life" and "low" in claim:
            half_life = (Decimal(claim["low"]), Decimal(claim["high"]))
        elif key == "loss.substrate":
            rock_per_h = Decimal(claim["high"])
        elif key == "removal.carbon":
            carbon = claim.get("value") != "does_not"
        elif key.startswith("form.") and "value" in claim:
            parts[claim["conditions"]["form"]] = Fraction(claim["value"])
        elif key == "hard_max.prolonged" and claim.get("unit") == "mg/L" and "value" in claim:
            hard.append(Fraction(claim["value"]))
    return Printed(name, half_life, carbon, parts, min(hard, default=None), rock_per_h)
