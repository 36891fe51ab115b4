"""What acts on which stage in a forecast, and what it does not know, in words."""

from __future__ import annotations

from tankside.claims import Knowledge
from tankside.lifecycle import ActiveFactor

STATES = {
    "heat": "heat",
    "low_salinity": "low salinity",
    "sodium_chloride": "salt in the water",
    "halt": "salt or oxygen holds up",
    "release_salt": "salt stops the release of young",
    "light": "ends by the hours of light",
    "siphon": "siphoning takes out",
    "water_change": "water changes and flow take out",
    "uv": "the ultraviolet lamp",
    "fine_filter": "the fine filter",
    "transfer": "moving the fish leaves behind",
}
NOTHING = "acts: nothing here acts on the parasite in this forecast"


def factors_lines(factors: tuple[ActiveFactor, ...], facts: Knowledge) -> tuple[str, ...]:
    """Return what acts on which stage in this forecast, and what it does not know.

    Args:
        factors: as told by the life cycle.
        facts: names of agents.
    """
    lines = []
    for factor in factors:
        name = STATES.get(factor.driver) or _agent_name(factor.driver, facts)
        name += " in the feed" if factor.kind == "feed" else ""
        reached = "; ".join(factor.reaches) or "nothing here, no figure is on record"
        lines.append(f"acts: {name}: {reached}")
        if factor.unknown:
            stages = "; ".join(f"{s} ({why})" if why else s for s, why in factor.unknown)
            lines.append(f"not known, so left out: {stages}")
    return tuple(lines) or (NOTHING,)


def _agent_name(agent: str, facts: Knowledge) -> str:
    return facts.agents[agent].name if agent in facts.agents else agent
