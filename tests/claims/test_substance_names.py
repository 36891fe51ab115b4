"""A name means one agent however it is spelt; nothing near is taken for it; none means two."""

from __future__ import annotations

import csv
import random
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.claims.substance_names import Meaning, named_in, names_of, resolve, spellings
from tankside.library import load

FACTS = load()
TABLE = Path(__file__).resolve().parents[1] / "golden" / "substances.csv"
ROWS = list(
    csv.DictReader(
        line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("#")
    )
)
NAMES = sorted({(agent.id, name) for agent in FACTS.agents.values() for name, _ in names_of(agent)})
SIGNS = ("", " ", "-", "_", "  ", " - ")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['name']} {row['cas']}")
def test_name_formula_and_number_of_the_handbooks_mean_the_same_agent(
    row: dict[str, str], trust_record: Callable[..., None]
) -> None:
    for what in ("name", "formula", "cas"):
        if not row[what]:
            continue
        substance = resolve(FACTS, row[what])
        assert substance.agent is FACTS.agents[row["agent"]], (what, substance)
        if what != "name":
            assert substance.form == row["form"], what
    trust_record(
        "substances", "handbook names, formulas and CAS numbers (recalled)", "one agent for each",
        0, 0, "pass",
    )  # fmt: skip


def test_every_formula_and_number_on_file_stands_in_the_table_too() -> None:
    twins = {key for row in ROWS for what in ("formula", "cas") for key in spellings(row[what])}
    alone = [
        (agent.id, other.name)
        for agent in FACTS.agents.values()
        for other in agent.also
        if other.kind in ("formula", "cas") and not twins & set(spellings(other.name))
    ]
    # Formulas that leave the water of crystallisation open, and so tell no form.
    assert alone == [("copper_sulphate", "CuSO4"), ("sodium_thiosulphate", "Na2S2O3")]


def respelt(name: str, rng: random.Random) -> str:
    """Write a name with other capital letters and other signs between its words."""
    letters = [rng.choice((sign.upper(), sign.lower())) for sign in name]
    text = "".join(rng.choice(SIGNS) if sign in " -_" else sign for sign in letters)
    return rng.choice(("", " ", "  ")) + text + rng.choice(("", " "))


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(NAMES), st.randoms(use_true_random=False))
def test_a_name_means_the_same_whatever_its_capitals_blanks_and_hyphens(
    named: tuple[str, str], rng: random.Random
) -> None:
    agent, name = named
    substance = resolve(FACTS, respelt(name, rng))
    assert substance.agent is FACTS.agents[agent]


@pytest.mark.parametrize(
    ("typed", "agent"),
    [
        ("cooking salts", "sodium_chloride"), ("Copper Sulfates", "copper_sulphate"),
        ("blue stones", "copper_sulphate"), ("Condys crystal", "potassium_permanganate"),
        ("CuSO₄·5H₂O", "copper_sulphate"), ("H₂O₂", "hydrogen_peroxide"),
        ("MALACHITGRÜN", "malachite_green"), ("Malachitgruen", "malachite_green"),
        ("Malachitgrun", "malachite_green"), ("Kochsalz", "sodium_chloride"),
        ("Kaliumpermanganat", "potassium_permanganate"), ("Methylenblau", "methylene_blue"),
        ("Kupfersulfat", "copper_sulphate"), ("formol", "formalin"), ("Formalin", "formalin"),
        ("sodium thiosulfate", "sodium_thiosulphate"), ("salt", "sodium_chloride"),
    ],
)  # fmt: skip
def test_plural_accents_and_the_two_ways_to_write_sulph_change_nothing(
    typed: str, agent: str
) -> None:
    assert resolve(FACTS, typed).agent is FACTS.agents[agent]


@pytest.mark.parametrize(
    ("typed", "agent"),
    [
        ("formaline", "formalin"), ("malachit green", "malachite_green"),
        ("methylen blue", "methylene_blue"), ("KMn04", "potassium_permanganate"),
        ("praziquantal", "praziquantel"), ("kichen salt", "sodium_chloride"),
    ],
)  # fmt: skip
def test_a_slip_of_the_pen_is_near_and_never_taken_for_it(typed: str, agent: str) -> None:
    substance = resolve(FACTS, typed)
    assert substance.agent is None
    assert substance.meaning is Meaning.NEAR
    assert FACTS.agents[agent] in substance.agents
    assert resolve(FACTS, substance.suggestions[0]).agent is substance.agents[0]


@pytest.mark.parametrize(
    ("typed", "agents"),
    [
        ("copper", {"copper_chelated", "copper_citrated", "copper_ionic", "copper_sulphate"}),
        ("Blue", {"copper_sulphate", "methylene_blue"}),
        ("dyes", {"acriflavine", "formalin_malachite_green", "malachite_green", "methylene_blue"}),
        ("sea salt", {"sodium_chloride"}),
    ],
)
def test_a_name_of_several_means_none_alone(typed: str, agents: set[str]) -> None:
    substance = resolve(FACTS, typed)
    assert (substance.meaning, substance.agent) == (Meaning.SEVERAL, None)
    assert {agent.id for agent in substance.agents} == agents


@pytest.mark.parametrize("typed", ["Epsom salt", "sodium bicarbonate", "MgSO4"])
def test_what_is_surely_no_agent_is_none(typed: str) -> None:
    assert resolve(FACTS, typed).meaning is Meaning.NO_AGENT


@pytest.mark.parametrize("typed", ["white spot liquid", "blue medicine", "sodium", "", "?", "水"])
def test_what_is_like_nothing_on_file_is_unknown(typed: str) -> None:
    assert resolve(FACTS, typed).meaning is Meaning.UNKNOWN


def test_a_sentence_names_an_agent_by_its_longest_name() -> None:
    assert named_in(FACTS, "put in Formalin and malachite green") == {"formalin_malachite_green"}
    assert named_in(FACTS, "two spoons of NaCl, later KMnO4") == {
        "sodium_chloride", "potassium_permanganate",
    }  # fmt: skip
    assert named_in(FACTS, "water change, bottom siphoned") == frozenset()


def test_no_two_agents_share_a_spelling_and_no_name_of_several_is_an_agent_s() -> None:
    owners: dict[str, set[str]] = {}
    for agent, name in NAMES:
        for spelling in spellings(name):
            owners.setdefault(spelling, set()).add(agent)
    assert {key: who for key, who in owners.items() if len(who) > 1} == {}
    several = [
        claims[0].conditions["name"]
        for key, claims in FACTS.facts.items()
        if key.startswith("practice.ambiguous_names.")
    ]
    assert len(several) > 20
    assert [name for name in several if set(spellings(name)) & owners.keys()] == []
