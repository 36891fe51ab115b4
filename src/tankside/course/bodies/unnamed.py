"""A substance in the water that no agent on file can be told from: kept as it was told.

It stands among the residues under an id of its own, so that nothing takes it for an agent.
"""

from __future__ import annotations

_PREFIX = "unknown:"


def unnamed(as_told: str) -> str:
    """Return the id of a substance that could not be named.

    Args:
        as_told: what it was called; "" where it is not known whether anything is there.
    """
    return f"{_PREFIX}{as_told.strip()}"


def is_unnamed(agent: str) -> bool:
    """Whether an id is that of a substance that could not be named."""
    return agent.startswith(_PREFIX)


def as_told(agent: str) -> str:
    """Return what a substance without a name was called; "" where nobody knows of any."""
    return agent.removeprefix(_PREFIX)


def shown(agent: str) -> str:
    """Return an id of a substance or an agent as it stands in a sentence."""
    if not is_unnamed(agent):
        return agent.replace("_", " ")
    return f'"{as_told(agent)}" (not known by that name)'
