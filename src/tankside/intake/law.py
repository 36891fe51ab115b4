"""What the rules of law on file say of a substance in the country of a case."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims import Agent, Claim, Knowledge
from tankside.intake.country import find_country

ANYWHERE = "any"
NEITHER = "which means neither allowed nor forbidden"


def law_lines(facts: Knowledge, agent: str, country: str | None) -> tuple[str, ...]:
    """Return the dated rules that concern a country, or say once that none is on file.

    A rule of an agent holds for every agent that brings the same active substance.

    Args:
        facts: agents with their ``law.*`` claims, and which places a country belongs to.
        agent: agent id.
        country: as typed; None when nobody told it.
    """
    if country is None:
        return (f"Law: no country was entered, so no rule was looked up, {NEITHER}.",)
    code = find_country(facts, country)
    if code is None:
        return (f'Law: no country "{country}" is known here, {NEITHER}.',)
    record = facts.agents.get(agent)
    rules = () if record is None else tuple(_rules(facts, record, code))
    if rules:
        return rules
    name = agent.replace("_", " ") if record is None else record.short_name.lower()
    return (f"Law ({code}): no rule for {name} is on file, {NEITHER}; ask the authority there.",)


def _rules(facts: Knowledge, agent: Agent, code: str) -> Iterator[str]:
    """Yield the agent's rules, then those of its actives where it has none for the place."""
    claim = facts.find(f"practice.law.place_{code.lower()}")
    places = {ANYWHERE} if claim is None else {ANYWHERE, *_names(str(claim.value))}
    covered: set[str] = set()
    for holder in (agent, *_with_its_actives(facts, agent)):
        of = "" if holder is agent else f" of {holder.short_name.lower()}"
        new: set[str] = set()
        for rule in _law_of(holder):
            here = places & set(_names(rule.conditions.get("place", "")))
            if here - covered:
                new |= here
                where, date = rule.conditions["place"], rule.conditions["date"]
                yield f"Law{of} ({where}, {date}): {rule.value}"
        covered |= new if holder is agent else set()


def _with_its_actives(facts: Knowledge, agent: Agent) -> Iterator[Agent]:
    """Yield the other agents all of whose actives this one brings into the water."""
    for other in facts.agents.values():
        if other is not agent and other.actives and set(other.actives) <= set(agent.actives):
            yield other


def _law_of(agent: Agent) -> Iterator[Claim]:
    for short, claims in agent.claims.items():
        if short.startswith("law.") and claims[0].known:
            yield claims[0]


def _names(text: str) -> list[str]:
    return [name.strip() for name in text.split(",")]
