"""Which rules of law on file concern a substance in the country of a case."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims import Claim, Knowledge
from tankside.course.amounts.active_forms import same_active
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
    """Yield the rules whose place the country belongs to, of every form of the active once."""
    listed = facts.find(f"practice.law.place_{country.lower()}")
    places = {ANYWHERE} if listed is None else {ANYWHERE, *_names(str(listed.value))}
    said: set[tuple[str, str]] = set()
    for rule in _rules_of_forms(facts, agent):
        where = rule.conditions.get("place", "")
        if places & set(_names(where)) and (where, str(rule.value)) not in said:
            said.add((where, str(rule.value)))
            yield rule


def _rules_of_forms(facts: Knowledge, agent: str) -> Iterator[Claim]:
    """Yield the rules of a substance, then those of the other forms and parts of its active."""
    substance = facts.agents.get(agent)
    forms = [] if substance is None else [substance]
    for form in [*forms, *(other.agent for other in same_active(facts, agent))]:
        for short, claims in form.claims.items():
            if short.startswith("law.") and claims[0].known:
                yield claims[0]


def _names(text: str) -> list[str]:
    return [name.strip() for name in text.split(",")]
