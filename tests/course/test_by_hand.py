"""What is looked at by hand: asked, answered with yes or no, and how long an answer holds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from tankside.claims import Claim, Confidence, Knowledge, Provenance
from tankside.course import Caution, LabelEntry, Level, StrengthBasis, Tool, ToolUnit
from tankside.course.amounts.by_hand import BY_HAND, not_seen_to

COPPER = "copper_sulphate"
AGE = "practice.course.age_limit_water_test"
# How each need is typed in the answer, and a word that its question, its fault and its advice
# cannot do without.
TYPED = {
    "buffer": ("buffer", "buffered", "not buffered", "bicarbonate"),
    "clear_solution": ("clear-solution", "clear", "not clear", "chemist"),
    "demand_test": ("demand-test", "tested", "not tested", "bucket"),
    "formulation_named": ("formulation-named", "formulation", "not name", "reading"),
    "predissolve": ("predissolve", "dissolved", "not dissolved", "label"),
    "zinc_free": ("zinc-free", "zinc", "not said", "container"),
}


@pytest.fixture
def bag() -> LabelEntry:
    return LabelEntry(COPPER, Decimal(1), StrengthBasis.PURE, "as Cu", Decimal(1), None,
                      Tool(ToolUnit.GRAM, Decimal(1)))  # fmt: skip


@pytest.fixture
def asking(know: Callable[..., Knowledge]) -> Callable[..., Any]:
    """Return the function that gives facts in which one need is asked of copper."""
    return lambda need, **more: know(**{f"agent__{COPPER}__needs__{need}": "yes"}, **more)


def needs_asked(facts: Knowledge, label: LabelEntry) -> list[Caution]:
    return list(not_seen_to(facts, label, "copper", 30, "main"))


def test_the_needs_are_these_and_no_others() -> None:
    assert [need.name for need in BY_HAND] == list(TYPED)
    assert [need.typed for need in BY_HAND] == [typed for typed, *_ in TYPED.values()]


@pytest.mark.parametrize("need", TYPED)
def test_a_need_is_asked_until_it_is_answered_with_yes(
    asking: Callable[..., Any], bag: LabelEntry, need: str
) -> None:
    typed, question, fault, advice = TYPED[need]
    facts, key = asking(need), f"agent.{COPPER}.needs.{need}"
    (asks,) = needs_asked(facts, bag)
    assert (asks.level, asks.code, asks.claim_key) == (Level.BLOCKED, "E-DOSE-20", key)
    assert (asks.hour, asks.body, asks.agent) == (30, "main", COPPER)
    assert asks.words.startswith("copper: ")
    assert asks.words.endswith("?")
    assert question in asks.words
    assert asks.what_instead == f"Look today, then answer {typed}=yes with the container."
    (stops,) = needs_asked(facts, replace(bag, not_ready=(need,)))
    assert (stops.level, stops.code, stops.claim_key) == (Level.BLOCKED, "E-DOSE-25", key)
    assert (stops.hour, stops.body, stops.agent) == (30, "main", COPPER)
    assert stops.words.startswith("copper: ")
    assert stops.words.endswith(".")
    assert fault in stops.words
    assert advice in stops.what_instead
    assert stops.what_instead.endswith(f". Then answer {typed}=yes with the container.")
    assert needs_asked(facts, replace(bag, ready=(need,))) == []


def test_every_need_that_is_open_is_asked_and_a_later_one_after_an_answered_one(
    asking: Callable[..., Any], bag: LabelEntry
) -> None:
    facts = asking("buffer", **{f"agent__{COPPER}__needs__zinc_free": "yes"})
    assert [caution.claim_key.split(".")[-1] for caution in needs_asked(facts, bag)] == [
        "buffer",
        "zinc_free",
    ]
    (rest,) = needs_asked(facts, replace(bag, ready=("buffer",)))
    assert rest.claim_key.endswith("zinc_free")


def test_an_answer_of_yes_holds_as_long_as_a_water_test(
    asking: Callable[..., Any], bag: LabelEntry
) -> None:
    facts = asking("buffer", **{AGE.replace(".", "__"): 24.0})
    yes = replace(bag, ready=("buffer",))
    assert needs_asked(facts, replace(yes, read_at_h=-24.0)) == []
    assert [caution.code for caution in needs_asked(facts, replace(yes, read_at_h=-24.1))] == [
        "E-DOSE-20"
    ]
    assert needs_asked(asking("buffer"), replace(yes, read_at_h=-1e6)) == []


@pytest.mark.parametrize(
    ("note", "source", "why"),
    [
        ("zinc hurts gills", "a leaflet", "Zinc hurts gills (a leaflet)."),
        ("pH falls.", "a leaflet", "PH falls (a leaflet)."),
        ("", "", "What nobody has looked at is not taken as safe (common practice)."),
    ],
)
def test_the_reason_of_a_need_is_what_its_claim_says(
    know: Callable[..., Knowledge], bag: LabelEntry, note: str, source: str, why: str
) -> None:
    key = f"agent.{COPPER}.needs.buffer"
    claim = Claim(
        key, "yes", "", Provenance.COMMON_PRACTICE, Confidence.LOW, note=note, source=source
    )
    facts = replace(know(), facts={**know().facts, key: (claim,)})
    assert [caution.why for caution in needs_asked(facts, bag)] == [why]
