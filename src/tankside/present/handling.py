"""What goes with every amount for whoever handles it: no caution about one, but always there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

HANDLING: Mapping[str, str] = {
    "ppe": "Wear",
    "splash": "Splashed",
    "do_not_mix": "Do not mix",
    "storage": "Store",
    "disposal": "Waste water",
    "light": "Light",
}
NOT_NEEDED = "Not needed"
NO_LAW: Mapping[str, tuple[str, ...]] = {}


class Handled(Protocol):
    """An amount of a substance that somebody handles."""

    @property
    def agent(self) -> str:
        """Agent id."""
        ...

    @property
    def read_back(self) -> str:
        """Which form the container must hold, else ""."""
        ...

    @property
    def handling(self) -> tuple[tuple[str, str], ...]:
        """What whoever handles it must know, (field, words) each."""
        ...


@dataclass(frozen=True, slots=True)
class Handling:
    """What whoever handles one substance of the day must know; ``lines`` as they are read."""

    agent: str
    hazard: str
    lines: tuple[str, ...]

    @property
    def title(self) -> str:
        """Name and hazard."""
        return f"HANDLING {self.agent}: hazard {self.hazard or 'not known'}"


def handling_of(
    amounts: Iterable[Handled],
    law: Mapping[str, tuple[str, ...]] = NO_LAW,
    said: str = "",
) -> tuple[Handling, ...]:
    """Return what goes with the substances of some amounts, once for each.

    What a file calls not needed is left out; a hazard nobody knows is said to be so. ``law`` holds
    what the law says of each agent where the tank stands. What stands in ``said`` already (where
    water that is let out may go) is not said again.
    """
    by_agent: dict[str, Handling] = {}
    for amount in amounts:
        fields = dict(amount.handling)
        lines = [
            f"{title}: {fields[field]}"
            for field, title in HANDLING.items()
            if field in fields
            and not fields[field].startswith(NOT_NEEDED)
            and fields[field] not in said
        ]
        if amount.read_back:
            lines.insert(0, amount.read_back)
        name = amount.agent.replace("_", " ")
        lines += law.get(amount.agent, ())
        by_agent.setdefault(amount.agent, Handling(name, fields.get("hazard", ""), tuple(lines)))
    return tuple(by_agent.values())
