"""A look that finds nothing: more fish, later days and Bayes' rule by hand."""

from __future__ import annotations

import numpy as np
import pytest
from tests.lifecycle.tanks import body, play, start, tank_hours, white_spot

from tankside import lifecycle
from tankside.lifecycle.results.clean_look import CleanLook, clean_look, clean_looks, trusted_from
from tankside.lifecycle.results.first_passage import NEVER
from tankside.lifecycle.results.of_twenty import of_twenty

HOURS = 480


@pytest.fixture(scope="module")
def treated() -> lifecycle.Histories:
    water = tank_hours(body(hours=HOURS, litres=200, salt=1.5))
    return play(white_spot(), water, start(8.0), histories=256)


def test_bayes_rule_by_hand(treated: lifecycle.Histories) -> None:
    moment, hour = 18, 432
    none = lifecycle.Sighting(hour, "fish", "spots", (0.0,) * 3)
    likely = np.exp(lifecycle.observe(treated, (none,)))
    likely[treated.alive[:, moment, 0] == 0] = 0
    clear = treated.clear[:, moment] & (treated.alive[:, moment, 0] > 0)
    look = clean_look(treated, hour, "fish", "spots", 3)
    runs = likely.sum() ** 2 / (likely**2).sum()
    bayes = likely[clear].sum() / likely.sum()
    assert look.truly_clear is not None
    assert look.truly_clear.share == pytest.approx((bayes * runs + 1 / 2) / (runs + 1))
    fish = int((treated.alive[:, moment, 0] > 0).sum())
    assert look.nothing.share == pytest.approx((likely.sum() + 1 / 2) / (fish + 1))
    assert fish < 256  # else a tank without fish is not asked about


def test_more_fish_looked_at_find_nothing_less_often_and_mean_more(
    treated: lifecycle.Histories,
) -> None:
    single, five = (clean_look(treated, 144, "fish", "spots", n) for n in (1, 5))
    assert five.nothing.share < single.nothing.share
    assert single.truly_clear is not None
    assert five.truly_clear is not None
    assert five.truly_clear.share > single.truly_clear.share


def test_a_clean_look_soon_after_the_spots_go_means_little_and_more_later(
    treated: lifecycle.Histories,
) -> None:
    looks = clean_looks(treated, "fish", "spots", 5)
    early, late = looks[6].truly_clear, looks[-1].truly_clear
    assert early is not None
    assert late is not None
    assert early.share < 0.5 < late.share


def look(day: int, share: float | None) -> CleanLook:
    runs = 10_000.0
    truly = None if share is None else of_twenty(share * runs, runs)
    return CleanLook(day * 24, of_twenty(runs / 2, runs), truly)


@pytest.mark.parametrize(
    ("shares", "day"),
    [
        ((0.1, 0.5, 0.95, 0.96), 2),
        ((0.95, 0.2, 0.95, 0.96), 2),  # an early clean look is not trusted when a later one is not
        ((0.1, 0.2, 0.3, 0.4), NEVER),
        ((None, 0.95, None, 0.96), 3),
    ],
)
def test_a_clean_look_is_trusted_from_the_day_on_which_it_stays_true(
    shares: tuple[float | None, ...], day: float
) -> None:
    assert trusted_from(tuple(look(k, share) for k, share in enumerate(shares))) == day
