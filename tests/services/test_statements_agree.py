"""No two statements of one case contradict each other, over random follow-ups.

The pairs stand in ``statement_pairs``, written before any of them was looked for. Every case is
typed and every page is asked for. In most follow-ups what the runs believe is drawn at random, so
that any chance meets any count; in the others the histories are played.
"""

from __future__ import annotations

import random
from collections import Counter
from functools import partial
from pathlib import Path

import pytest
from tests.services.random_follow_ups import PRESENT_AFTER, pages, random_case, written
from tests.services.statement_pairs import MORE, NAMED, contradictions

from tankside.follow import Effort, PosteriorRange, Predicted, sample_posterior, search
from tankside.intake.clock import VARIABLE
from tankside.intake.follow_setup import FollowSetup
from tankside.lifecycle import of_twenty
from tankside.services import follow as service
from tankside.services.follow_answer import Belief, PosteriorNow

FEW = Effort(search=48, final=96)
PLAYED = 768
FAST, SLOW = 60, 2000
FAST_PLAYED, SLOW_PLAYED = 4, 100


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, PRESENT_AFTER)
    monkeypatch.setattr(service, "search", partial(search, effort=FEW))
    monkeypatch.setattr(service, "sample_posterior", partial(sample_posterior, effort=FEW))


@pytest.fixture
def any_belief(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the runs believe anything, drawn anew for every case."""

    def believed(setup: FollowSetup, _: object) -> Belief:
        return _drawn(setup) if setup.seen else Belief()

    monkeypatch.setattr(service, "_ensembles", lambda *_: None)
    monkeypatch.setattr(service, "_belief", believed)


def _drawn(setup: FollowSetup) -> Belief:
    luck = random.Random(setup.trial.seed)

    def share() -> int:
        return luck.choice((0, luck.randint(0, PLAYED), PLAYED))

    trust = luck.choice((1.0, 1.0, luck.uniform(0.05, 1)))
    middle = luck.uniform(0, 900)
    there = PosteriorRange(middle / 3, middle, middle * 3)
    return Belief(
        PosteriorNow(there, there, there),
        of_twenty(share(), PLAYED),
        of_twenty(share(), PLAYED),
        of_twenty(share(), PLAYED),
        luck.uniform(20, PLAYED),
        trust,
        PLAYED,
        tuple(
            Predicted(s, s.counts[0], 0.0, 9.0, luck.choice((0.4, 0.4, 0.4, 1e-4)))
            for s in setup.seen
        ),
        trust >= 0.06,
    )


def standing_together(folder: Path, seeds: range) -> Counter[str]:
    """Count how often each pair stands together; print the first case of each."""
    together: Counter[str] = Counter()
    for seed in seeds:
        place = folder / str(seed)
        place.mkdir()
        typed = random_case(seed)
        read = pages(typed, written(typed, place), seed)
        for name in contradictions(read):
            together[name] += 1
            if together[name] == 1:
                print(f"seed {seed}: {name}\n{typed.rows}\n{read.follow}")
    return together


def test_ten_more_pairs_are_named() -> None:
    assert len(MORE) == 10
    assert len({name for name, *_ in (*NAMED, *MORE)}) == len(NAMED) + len(MORE)


@pytest.mark.usefixtures("any_belief")
def test_no_two_statements_of_a_case_contradict_each_other(tmp_path: Path) -> None:
    assert standing_together(tmp_path, range(FAST)) == Counter()


def test_nor_where_the_histories_are_played(tmp_path: Path) -> None:
    assert standing_together(tmp_path, range(FAST_PLAYED)) == Counter()


@pytest.mark.slow
@pytest.mark.timeout(3600)
@pytest.mark.usefixtures("any_belief")
def test_nor_over_two_thousand_cases(tmp_path: Path) -> None:
    assert standing_together(tmp_path, range(FAST, FAST + SLOW)) == Counter()


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_nor_over_a_hundred_played(tmp_path: Path) -> None:
    assert standing_together(tmp_path, range(FAST, FAST + SLOW_PLAYED)) == Counter()
