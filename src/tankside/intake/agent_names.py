"""From the name of a substance as typed to the id of an agent."""

from __future__ import annotations

from tankside.claims import Knowledge


def agent_id(facts: Knowledge, name: str) -> str:
    """Return the id of an agent as the keeper named it, or the name itself as an id."""
    slug = name.strip().lower().replace(" ", "_").replace("-", "_")
    for agent in facts.agents.values():
        plain = agent.name.lower()
        if slug == agent.id or name.strip().lower() in (plain, plain.split(" (")[0]):
            return agent.id
    return slug
