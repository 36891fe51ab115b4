"""No two statements of one case contradict each other, over random follow-ups.

The pairs stand in ``statement_pairs``, written before any of them was looked for.
"""

from __future__ import annotations

from collections import Counter
from functools import partial
from pathlib import Path

import pytest
from tests.services.random_follow_ups import PRESENT_AFTER, pages, random_case, written
from tests.services.statement_pairs import MORE, NAMED, contradictions

from tankside.follow import Effort, sample_posterior, search
from tankside.intake.clock import VARIABLE
from tankside.services import follow as service

FEW = Effort(search=48, final=96)
FAST, SLOW = 60, 2000


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, PRESENT_AFTER)
    monkeypatch.setattr(service, "search", partial(search, effort=FEW))
    monkeypatch.setattr(service, "sample_posterior", partial(sample_posterior, effort=FEW))


def standing_together(folder: Path, seeds: range) -> Counter[str]:
    """Count how often each pair stands together, with the first seed at which it did."""
    together: Counter[str] = Counter()
    for seed in seeds:
        place = folder / str(seed)
        place.mkdir()
        typed = random_case(seed)
        read = pages(typed, written(typed, place), seed)
        for name in contradictions(read):
            together[name] += 1
            if together[name] == 1:
                print(f"seed {seed}: {name}\n{typed.rows}")
    return together


def test_ten_more_pairs_are_named() -> None:
    assert len(MORE) == 10
    assert len({name for name, *_ in (*NAMED, *MORE)}) == len(NAMED) + len(MORE)


def test_no_two_statements_of_a_case_contradict_each_other(tmp_path: Path) -> None:
    assert standing_together(tmp_path, range(FAST)) == Counter()


@pytest.mark.slow
def test_nor_over_two_thousand_cases(tmp_path: Path) -> None:
    assert standing_together(tmp_path, range(FAST, FAST + SLOW)) == Counter()
