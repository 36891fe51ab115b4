"""What the rules of law on file say of a substance in the country of a case."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims import Agent, Claim, Knowledge
from tankside.course.amounts.active_forms import same_active
from tankside.intake.country import find_country
from tankside.present.law import rule_lines

ANYWHERE = "any"


def rules_of_law(facts: Knowledge, agent: str, country: str | None) -> tuple[Claim, ...]:
    """Return the dated rules that concern a country; none when nobody told the country.

    A rule of an agent holds for every agent that brings the same active substance.

    Args:
        facts: agents with their ``law.*`` claims, and which places a country belongs to.
        agent: agent id.
        country: as typed; None when nobody told it.
    """
    code = None if country is None else find_country(facts, country)
    return () if code is None else tuple(_rules(facts, facts.agents[agent], code))


def law_lines(facts: Knowledge, agent: str, country: str | None) -> tuple[str, ...]:
    """Return the same in words, or that none is known."""
    code = None if country is None else find_country(facts, country) or country
    return rule_lines(facts.agents[agent], rules_of_law(facts, agent, country), code)


def _rules(facts: Knowledge, agent: Agent, code: str) -> Iterator[Claim]:
    """Yield the agent's rules, then what others add whose actives it brings along."""
    listed = facts.find(f"practice.law.place_{code.lower()}")
    places = {ANYWHERE} if listed is None else {ANYWHERE, *_names(str(listed.value))}
    brought = (other.agent for other in same_active(facts, agent.id))
    said: set[tuple[str, str]] = set()
    for rule in (rule for holder in (agent, *brought) for rule in _law_of(holder)):
        where = rule.conditions.get("place", "")
        if places & set(_names(where)) and (where, str(rule.value)) not in said:
            said.add((where, str(rule.value)))
            yield rule


def _law_of(agent: Agent) -> Iterator[Claim]:
    for short, claims in agent.claims.items():
        if short.startswith("law.") and claims[0].known:
            yield claims[0]


def _names(text: str) -> list[str]:
    return [name.strip() for name in text.split(",")]
