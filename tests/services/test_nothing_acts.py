"""What nothing on file acts on is followed by its care, and hides no parasite that can be cured."""

from __future__ import annotations

from pathlib import Path

import pytest

from tankside import library
from tankside.intake.follow_setup import FollowRequest
from tankside.intake.trial_setup import parasite_meant
from tankside.records.case_store import read_case
from tankside.services import cases
from tankside.services.by_cause import follow_by_cause
from tankside.services.care_case import CareAnswer

TYPED = (
    ("system", "meter=200 L"),
    ("stock", "gold", "name=goldfish", "count=6", "length=8 cm"),
    ("water", "temperature=22 C"),
    ("confirmed", "condition=ARGULUS", "shown-by=seen"),
)


@pytest.fixture
def lousy(tmp_path: Path) -> Path:
    file = tmp_path / "sill.jsonl"
    cases.new_case(
        file, cases.Opening("Sill", "a keeper", "fresh", "Etc/UTC", "2026-03-02"), by="t"
    )
    for kind, *words in TYPED:
        cases.add_words(file, kind, tuple(words), by="t")
    return file


def test_it_is_followed_by_its_protocol(lousy: Path) -> None:
    assert isinstance(follow_by_cause(lousy, FollowRequest()), CareAnswer)


@pytest.mark.parametrize("state", ["suspected", "confirmed"])
def test_another_that_can_be_treated_goes_first(lousy: Path, state: str) -> None:
    facts = library.load()
    assert parasite_meant(read_case(lousy).view(), facts, None).id == "argulus_foliaceus"
    cases.add_words(lousy, state, ("condition=white spot", "shown-by=seen"), by="t")
    meant = parasite_meant(read_case(lousy).view(), facts, None)
    assert meant.id == "ichthyophthirius_multifiliis"
    named = parasite_meant(read_case(lousy).view(), facts, "argulus_foliaceus")
    assert named.id == "argulus_foliaceus"
