"""First passages against a walk through every history by hand."""

from __future__ import annotations

import numpy as np
import pytest
from tests.lifecycle.tanks import body, play, start, tank_hours, white_spot

from tankside import lifecycle
from tankside.lifecycle.results.first_passage import (
    NEVER,
    PASSAGES,
    clear_when_seen_free,
    first_passages,
)

HOURS = 480


@pytest.fixture(scope="module")
def treated() -> lifecycle.Histories:
    """Strong salt in a small tank: some runs clear, in some every fish dies, in some neither."""
    water = tank_hours(body(hours=HOURS, litres=60, salt=1.4))
    return play(white_spot(), water, start(25.0, age=0.0), histories=192)


def by_hand(run: lifecycle.Histories, what: str, row: int) -> float:
    """Walk one history moment by moment and return the day on which it first happens."""
    if what == "clear":
        return clear_by_hand(run, row)
    spots_before, best, best_day = False, 0.0, NEVER
    for moment, hour in enumerate(run.at_h):
        alive = int(run.alive[row, moment].sum())
        visible = int(run.visible[row, moment].sum())
        happens = {
            "first_spot": visible > 0,
            "first_death": alive < run.alive[row, 0].sum(),
            "no_fish": alive == 0,
            "seen_free": spots_before and visible == 0 and alive > 0,
            "peak": False,
        }
        if happens[what]:
            return float(hour / 24)
        spots_before = spots_before or visible > 0
        each = run.burden[row, moment].sum() / alive if alive else 0.0
        if each > best:
            best, best_day = each, hour / 24
    return best_day if what == "peak" else NEVER


def clear_by_hand(run: lifecycle.Histories, row: int) -> float:
    since: float = NEVER
    for moment, hour in enumerate(run.at_h):
        if not run.clear[row, moment]:
            since = NEVER
        elif since == NEVER:
            since = hour / 24
    return since if run.alive[row, -1].sum() > 0 else NEVER


@pytest.mark.parametrize("what", PASSAGES)
def test_every_first_passage_is_the_one_a_walk_finds(
    treated: lifecycle.Histories, what: str
) -> None:
    walked = [by_hand(treated, what, row) for row in range(192)]
    assert PASSAGES[what](treated).tolist() == walked
    assert len(set(walked)) > 1  # else this tank tests nothing


def test_the_share_of_runs_in_which_it_happens_is_counted(treated: lifecycle.Histories) -> None:
    passages = {p.what: p for p in first_passages(treated, spots=True, deaths=True)}
    for what, first_passage in passages.items():
        walked = np.asarray([by_hand(treated, what, row) for row in range(192)])
        happens = int((walked < NEVER).sum())
        assert first_passage.happens.share == pytest.approx((happens + 1 / 2) / 193)
        assert first_passage.days.middle == np.quantile(walked, 0.5, method="inverted_cdf")


def test_a_parasite_without_spots_has_no_passage_by_eye(treated: lifecycle.Histories) -> None:
    passages = {p.what for p in first_passages(treated, spots=False, deaths=True)}
    assert passages == set(PASSAGES) - {"first_spot", "seen_free"}


def test_where_nothing_says_what_kills_a_fish_no_death_is_dated(
    treated: lifecycle.Histories,
) -> None:
    passages = {p.what for p in first_passages(treated, spots=True, deaths=False)}
    assert passages == set(PASSAGES) - {"first_death", "no_fish"}


def test_gone_spots_are_hardly_ever_a_clear_tank(treated: lifecycle.Histories) -> None:
    rows = [row for row in range(192) if by_hand(treated, "seen_free", row) < NEVER]
    truly = sum(bool(treated.clear[row, int(by_hand(treated, "seen_free", row))]) for row in rows)
    chance = clear_when_seen_free(treated)
    assert chance is not None
    assert chance.share == pytest.approx((truly + 1 / 2) / (len(rows) + 1))
    assert len(rows) > 20


def test_where_spots_never_go_nothing_is_said() -> None:
    water = tank_hours(body(hours=24))
    assert clear_when_seen_free(play(white_spot(), water, start(0.0), histories=8)) is None
