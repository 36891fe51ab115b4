"""Which parasite stands behind what is suspected, in which water."""

from __future__ import annotations

import pytest

from tankside import library
from tankside.intake.likely_cause import parasite_behind
from tankside.library.diagnosis_files import load_diagnosis

FACTS = library.load()


@pytest.mark.parametrize(
    ("condition", "water", "organism"),
    [
        ("ich", "fresh", "ichthyophthirius_multifiliis"),
        ("ICH White spot (Ichthyophthirius multifiliis)", "fresh", "ichthyophthirius_multifiliis"),
        ("crypto", "marine", "cryptocaryon_irritans"),
        ("gillfluke", "fresh", "dactylogyrus_vastator"),
        ("fwvelvet", "fresh", "piscinoodinium_pillulare"),
        ("tricho", "fresh", "trichodina_nobilis"),
        ("skinfluke", "fresh", "gyrodactylus_salaris"),
        ("skinfluke", "marine", "neobenedenia_girellae"),
        ("tetra", "fresh", "tetrahymena_corlissi"),
        ("lernaea", "fresh", "lernaea_cyprinacea"),
        ("anchor worm, Lernaea", "fresh", "lernaea_cyprinacea"),
    ],
)
def test_a_parasite_stands_behind_a_condition(condition: str, water: str, organism: str) -> None:
    parasite = parasite_behind(condition, FACTS, water)
    assert parasite is not None
    assert parasite.id == organism


@pytest.mark.parametrize(
    ("condition", "water"),
    [("nitrogen", "fresh"), ("skinfluke", "keeper_does_not_know"), ("column", "fresh"), ("?", "")],
)
def test_where_none_or_several_stand_behind_it_none_is_taken(condition: str, water: str) -> None:
    assert parasite_behind(condition, FACTS, water) is None


def test_every_organism_with_figures_can_be_reached_by_a_condition() -> None:
    reached = {
        parasite.id
        for condition in load_diagnosis().conditions
        for water in ("fresh", "marine")
        if (parasite := parasite_behind(condition, FACTS, water)) is not None
    }
    assert {name for name, o in FACTS.organisms.items() if o.stages} <= reached
