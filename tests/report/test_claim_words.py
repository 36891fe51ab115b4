"""Every sampled name has plain words."""

from __future__ import annotations

import pytest

from tankside import library, lifecycle
from tankside.report.claim_words import OF_THE_FISH, claim_words

ORGANISMS = {n: o for n, o in library.load().organisms.items() if o.stages}


@pytest.mark.parametrize("name", ORGANISMS)
def test_no_drawn_name_is_shown_as_its_key(name: str) -> None:
    organism = ORGANISMS[name]
    for key in lifecycle.draw(organism, 2, 1).keys:
        assert claim_words(key, organism) != key.replace("_", " "), key


def test_words_name_the_stage_the_agent_and_the_group() -> None:
    organism = ORGANISMS["ichthyophthirius_multifiliis"]
    assert claim_words("cyst.residence", organism) == (
        "length of the stay (dividing in a cyst on the bottom)"
    )
    assert claim_words("kill.copper_sulphate.swimmer.lc50_mg_l", organism) == (
        "strength that kills half: copper sulphate (swimming, looking for a fish)"
    )
    assert claim_words("per_fish.loach", organism).endswith("(loach)")
    assert claim_words("water.stratum", organism) == OF_THE_FISH["water.stratum"]
