"""Claims say what they know and no more; lookup gives the default and keeps the rest in sight."""

from __future__ import annotations

from types import MappingProxyType
from typing import Any

import pytest

from tankside.claims import Agent, Claim, Confidence, Host, Knowledge, Provenance


def fact(key: str, **fields: Any) -> Claim:
    fields.setdefault("value", None)
    return Claim(
        key=key,
        unit="mg/L",
        provenance=Provenance.MEMORY,
        confidence=Confidence.LOW,
        **fields,
    )


def test_a_range_alone_is_known_and_its_number_is_the_middle() -> None:
    claim = fact("agent.x.dose.bath", low=15.0, high=25.0)
    assert claim.known
    assert claim.number() == 20
    assert claim.bounds() == (15, 25)


def test_one_edge_alone_is_its_own_number() -> None:
    assert fact("a.b.c", high=4.0).number() == 4
    assert fact("a.b.c", high=4.0).bounds() == (4, 4)


def test_a_value_alone_bounds_itself() -> None:
    assert fact("a.b.c", value=2.5).bounds() == (2.5, 2.5)


def test_an_unknown_claim_has_no_number() -> None:
    claim = fact("a.b.c", unknown_because="no figure found")
    assert not claim.known
    with pytest.raises(TypeError):
        claim.number()


def test_a_text_has_no_number() -> None:
    with pytest.raises(TypeError):
        fact("a.b.c", value="pink").number()


def base() -> Knowledge:
    first = fact("agent.x.dose.bath", value=2.0, default=True, why_default="stricter")
    second = fact("agent.x.dose.bath", value=4.0)
    unknown = fact("agent.x.half_life", unknown_because="nobody looked")
    refused = fact("agent.x.dose.dip", value=900.0, rejected_because="unit error")
    return Knowledge(
        facts=MappingProxyType(
            {"agent.x.dose.bath": (first, second), "agent.x.half_life": (unknown,)}
        ),
        rejected=MappingProxyType({"agent.x.dose.dip": (refused,)}),
    )


def test_lookup_gives_the_default_and_rivals_the_others_with_the_reason() -> None:
    knowledge = base()
    assert knowledge.number("agent.x.dose.bath") == 2
    rivals = knowledge.rivals("agent.x.dose.bath")
    assert rivals.default is not None
    assert (rivals.default.value, [c.value for c in rivals.others]) == (2, [4])
    assert rivals.why == "stricter"


def test_a_rejected_claim_is_told_among_rivals_and_never_looked_up() -> None:
    knowledge = base()
    assert knowledge.find("agent.x.dose.dip") is None
    with pytest.raises(KeyError):
        knowledge.claim("agent.x.dose.dip")
    rivals = knowledge.rivals("agent.x.dose.dip")
    assert rivals.default is None
    assert rivals.rejected[0].rejected_because == "unit error"


def test_find_is_none_for_missing_and_for_unknown() -> None:
    knowledge = base()
    assert knowledge.find("agent.x.nothing") is None
    assert knowledge.find("agent.x.half_life") is None
    assert knowledge.claim("agent.x.half_life").unknown_because == "nobody looked"


def test_an_agent_lists_its_routes_and_what_is_missing() -> None:
    facts = base().facts
    claims = {key.removeprefix("agent.x."): rivals for key, rivals in facts.items()}
    agent = Agent("x", "X", "substance", "as X", ("x",), "", MappingProxyType(claims))
    assert agent.routes == ("bath",)
    assert agent.missing(("dose.bath", "half_life", "people.ppe")) == ("half_life", "people.ppe")


def test_a_host_without_a_claim_is_not_known_and_never_tolerant() -> None:
    low = (fact("host.h.temperature_low", value=20.0),)
    host = Host("h", "h", "", "tetra", "fresh", MappingProxyType({"temperature_low": low}))
    assert host.tolerance("copper") == "not_known"
    assert host.temperature_range_c() is None


def test_an_agent_is_not_offered_when_its_file_says_so_or_it_is_only_described() -> None:
    refusal = MappingProxyType({"not_offered": (fact("agent.x.not_offered", value="withdrawn"),)})
    nothing: MappingProxyType[str, tuple[Claim, ...]] = MappingProxyType({})
    assert Agent("x", "X", "substance", "as X", ("x",), "", nothing).offered
    assert not Agent("x", "X", "substance", "as X", ("x",), "", refusal).offered
    assert not Agent("x", "X", "equipment", "as X", (), "", nothing).offered
    assert not Agent("x", "X", "evidence_only", "as X", (), "", nothing).offered
