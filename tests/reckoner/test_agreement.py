"""The account of every water agrees with an independent reckoner on random histories.

In every other history the waters are joined and parted on the way. The reckoner knows the typed
lines, the printed rates and the rules of docs/dose.md, and nothing of the program. Where nothing
decays its fractions are exact and the program's binary numbers must equal them to 1 part in 10^12,
which is their own rounding; where something decays, to 1 part in 10^9.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.reckoner.by_program import folded, in_waters, moment_of, typed_in
from tests.reckoner.compared import disagreements
from tests.reckoner.histories import history
from tests.reckoner.printed_rates import Shelf
from tests.reckoner.reckoning import reckon
from tests.scenarios.conftest import invoke

from tankside.claims import Knowledge
from tankside.records.case_file import read_case

FAST, SLOW, TYPED_FAST, TYPED_SLOW = 300, 10_000, 3, 100


def faults_of(seeds: range, shelf: Shelf, facts: Knowledge) -> list[str]:
    return [
        f"history {seed}: {fault}"
        for seed in seeds
        for story in (history(seed, joins=seed % 2 == 0),)
        for fault in disagreements(
            reckon(story.rows, story.now, shelf),
            in_waters(folded(story.rows), facts, story.now),
            shelf,
        )
    ]


def test_the_account_agrees_on_some_histories(shelf: Shelf, facts: Knowledge) -> None:
    assert not faults_of(range(FAST), shelf, facts)


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_the_account_agrees_on_ten_thousand_histories(shelf: Shelf, facts: Knowledge) -> None:
    assert not faults_of(range(FAST, FAST + SLOW), shelf, facts)


def typed_faults(
    seeds: range, folder: Path, patch: pytest.MonkeyPatch, shelf: Shelf, facts: Knowledge
) -> list[str]:
    """Type histories at the command line and read them back from their files."""
    faults = []
    for seed in seeds:
        story = history(seed, joins=seed % 2 == 0)
        patch.setenv("TANKSIDE_NOW", moment_of(story.now).text)
        path = folder / f"{seed}.jsonl"
        kept = typed_in(invoke, path, story.rows)
        shown = in_waters(read_case(path).view(), facts, story.now)
        wrong = disagreements(reckon(kept, story.now, shelf), shown, shelf)
        faults += [f"history {seed}: {fault}" for fault in wrong]
    return faults


def test_typed_histories_agree(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, shelf: Shelf, facts: Knowledge
) -> None:
    assert not typed_faults(range(TYPED_FAST), tmp_path, monkeypatch, shelf, facts)


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_a_hundred_typed_histories_agree(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, shelf: Shelf, facts: Knowledge
) -> None:
    typed = range(TYPED_FAST, TYPED_FAST + TYPED_SLOW)
    assert not typed_faults(typed, tmp_path, monkeypatch, shelf, facts)
