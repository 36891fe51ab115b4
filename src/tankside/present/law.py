"""How the rules of law on a substance are told; what is not known is never said to be allowed."""

from __future__ import annotations

from collections.abc import Sequence

from tankside.claims import Agent, Claim

NEITHER = "which means neither allowed nor forbidden"
NO_COUNTRY = f"Law: no country was entered, so no rule is on file, {NEITHER}."


def rule_lines(agent: Agent, rules: Sequence[Claim], country: str | None) -> tuple[str, ...]:
    """Return the dated rules of a country, or say once that none is on file.

    Args:
        agent: the substance.
        rules: what is on file for the country, of the substance and of those it brings along.
        country: two letters; None when nobody told it.
    """
    if country is None:
        return (NO_COUNTRY,)
    name = agent.short_name.lower()
    if not rules:
        return (f"Law ({country}): no rule for {name} is on file, {NEITHER}; ask the authority.",)
    return tuple(
        f"Law{_of(agent, rule)} ({rule.conditions['place']}, {rule.conditions['date']}): "
        f"{rule.value}"
        for rule in rules
    )


def _of(agent: Agent, rule: Claim) -> str:
    """Name the substance that a rule is of, where it is another."""
    holder = rule.key.split(".")[1]
    return "" if holder == agent.id else f" of {holder.replace('_', ' ')}"
