"""What goes with every amount for whoever handles it: no caution about one, but always there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
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

    What another form in the container would bring stands there for each amount. What a file
    calls not needed is left out; a hazard nobody knows is said to be so. ``law`` holds what the
    law says of each agent where the tank stands. What stands in ``said`` already (where water
    that is let out may go) is not said again.
    """
    by_agent: dict[str, list[Handled]] = {}
    for amount in amounts:
        by_agent.setdefault(amount.agent, []).append(amount)
    return tuple(_of_one(agent, each, law, said) for agent, each in by_agent.items())


def _of_one(
    agent: str, amounts: Sequence[Handled], law: Mapping[str, tuple[str, ...]], said: str
) -> Handling:
    """Return what goes with the amounts of one substance."""
    fields = dict(amounts[0].handling)
    forms = dict.fromkeys(amount.read_back for amount in amounts if amount.read_back)
    general = (
        f"{title}: {fields[field]}"
        for field, title in HANDLING.items()
        if field in fields
        and not fields[field].startswith(NOT_NEEDED)
        and fields[field] not in said
    )
    lines = (*forms, *general, *law.get(agent, ()))
    return Handling(agent.replace("_", " "), fields.get("hazard", ""), lines)
