"""Which rules of law on file concern a substance in the country of a case."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims import Claim, Knowledge
from tankside.present.law import rule_lines

ANYWHERE = "any"


def rules_of_law(facts: Knowledge, agent: str, country: str | None) -> tuple[Claim, ...]:
    """Return the dated rules that concern a country; none when nobody told the country.

    Args:
        facts: agents with their ``law.*`` claims, and which places a country belongs to.
        agent: agent id.
        country: two letters; None when nobody told it.
    """
    return () if country is None else tuple(_rules(facts, agent, country))


def law_lines(facts: Knowledge, agent: str, country: str | None) -> tuple[str, ...]:
    """Return the same in words, or that none is known."""
    return rule_lines(rules_of_law(facts, agent, country), country)


def _rules(facts: Knowledge, agent: str, country: str) -> Iterator[Claim]:
    """Yield the rules whose place the country belongs to."""
    listed = facts.find(f"practice.law.place_{country.lower()}")
    places = {ANYWHERE} if listed is None else {ANYWHERE, *_names(str(listed.value))}
    substance = facts.agents.get(agent)
    for short, claims in () if substance is None else substance.claims.items():
        rule = claims[0]
        of_law = short.startswith("law.") and rule.known
        if of_law and places & set(_names(rule.conditions.get("place", ""))):
            yield rule


def _names(text: str) -> list[str]:
    return [name.strip() for name in text.split(",")]
