"""What the rules of law on file say of a substance in the country of a case."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims import Claim, Knowledge

ANYWHERE = "any"
UNKNOWN = "not known does not mean allowed"


def law_lines(facts: Knowledge, agent: str, country: str | None) -> tuple[str, ...]:
    """Return the dated rules that concern a country, or that none is known.

    Args:
        facts: agents with their ``law.*`` claims, and which places a country belongs to.
        agent: agent id.
        country: two letters; None when nobody told it.
    """
    if country is None:
        return (f"The country was not entered, so its law is not known; {UNKNOWN}.",)
    rules = tuple(_rules(facts, agent, country))
    if not rules:
        where = country.upper()
        return (f"No rule of {where} is on file; {UNKNOWN}. Ask the authority.",)
    return tuple(
        f"Law ({claim.conditions['place']}, {claim.conditions['date']}): {claim.value}"
        for claim in rules
    )


def _rules(facts: Knowledge, agent: str, country: str) -> Iterator[Claim]:
    """Yield the rules whose place the country belongs to."""
    found = facts.find(f"practice.law.place_{country.lower()}")
    places = set() if found is None else set(_names(str(found.value)))
    known = facts.agents.get(agent)
    for short, claims in () if known is None else known.claims.items():
        if short.startswith("law.") and claims[0].known:
            told = set(_names(claims[0].conditions.get("place", "")))
            if told & {*places, ANYWHERE}:
                yield claims[0]


def _names(text: str) -> list[str]:
    return [name.strip() for name in text.split(",")]
