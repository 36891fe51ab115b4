from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tankside.errors import BadInput
from tankside.library import data_root
from tankside.library.diagnosis_files import load_diagnosis, read_diagnosis
from tankside.library.problem import Problem
from tankside.library.source_files import read_sources


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the differential's files that may be broken."""
    for kind in ("conditions", "cells", "findings", "diagnosis"):
        shutil.copytree(data_root() / kind, tmp_path / kind)
    return tmp_path


def problems_after(copy: Path, name: str, old: str, new: str) -> list[Problem]:
    path = copy / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    problems: list[Problem] = []
    read_diagnosis(copy, problems)
    return problems


def test_the_shipped_files_hold_together() -> None:
    problems: list[Problem] = []
    facts = read_diagnosis(data_root(), problems)
    assert problems == []
    groups = [c.id for c in facts.conditions.values() if c.outside]
    assert groups == [f"NOT_IN_LIST_{group}" for group in ("GERM", "ORGAN", "REST", "WATER")]
    assert [c.id for c in facts.conditions.values() if not c.outside and not c.listed] == [
        "STRESSED"
    ]


def test_every_source_named_is_in_the_register() -> None:
    facts = load_diagnosis()
    works = read_sources(data_root(), [])
    named = {key for c in facts.conditions.values() for key in c.sources}
    named |= {key for c in facts.conditions.values() for x in c.cells.values() for key in x.sources}
    named |= {key for f in facts.findings.values() for key in (*f.sources, *f.baseline.sources)}
    named |= {key for pair in facts.pairs for key in pair.sources}
    assert named - works.keys() == set()


def test_every_cell_names_a_source() -> None:
    for condition in load_diagnosis().conditions.values():
        assert all(cell.sources for cell in condition.cells.values()), condition.id


@pytest.mark.parametrize(
    ("name", "old", "new", "check"),
    [
        ("conditions/ich.toml", 'urgency = "', 'urgancy = "', "readable"),
        ("cells/ich.csv", "spots_visible,no", "spots_vizible,no", "finding"),
        ("cells/ich.csv", "finding,answer", "finding,reply", "columns"),
        ("diagnosis/species_odds.csv", "goldfish,", "goldfisch,", "species"),
        ("diagnosis/twins.csv", "twin,name", "twins,name", "columns"),
        ("diagnosis/sittings.toml", "minutes = ", "minuts = ", "fields"),
        ("conditions/ich.toml", "chance = 0.1\n", "chance = 0.5\n", "prior"),
        ("findings/flashing.toml", "none = 0.9116", "none = 0.58", "sum"),
        ("findings/spot_size.toml", "spots_visible=yes", "spots_visible=perhaps", "gate"),
        (
            "findings/flashing.toml",
            'baseline_answer = "none"',
            'baseline_answer = "no"',
            "baseline",
        ),
        ("diagnosis/pairs.toml", 'second = "COLUMN"', 'second = "COLUMNS"', "pair"),
        ("diagnosis/model.toml", '"gasping_surface"', '"gasps"', "water_first"),
    ],
)
def test_a_broken_file_is_named_with_its_fault(
    copy: Path, name: str, old: str, new: str, check: str
) -> None:
    problems = problems_after(copy, name, old, new)
    assert check in {problem.check for problem in problems}
    assert name in {problem.file for problem in problems}


def test_a_disease_that_protects_from_a_sign_is_refused(copy: Path) -> None:
    """The law of graded signs needs a cause to make a sign at least as frequent as the leak."""
    problems = problems_after(
        copy,
        "cells/myxo.csv",
        "gill_lamellae,normal,0.6,0.4181,0.7703",
        "gill_lamellae,normal,0.98,0.4181,0.99",
    )
    assert "below_leak" in {problem.check for problem in problems}


def test_a_broken_base_cannot_be_loaded(copy: Path) -> None:
    problems_after(copy, "findings/flashing.toml", "none = 0.9116", "none = 0.58")
    with pytest.raises(BadInput) as refused:
        load_diagnosis(copy)
    assert refused.value.code == "E-KNOW-01"
