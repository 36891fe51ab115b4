"""More seen never makes a tank clearer: not in belief, not in date, not in what may be discussed.

Real histories of a salted tank, played once; random series of looks are held against them twice,
as drawn and with more seen on one look.
"""

from __future__ import annotations

import random
from dataclasses import replace
from math import ceil

import numpy as np
import pytest
from tests.services.salt_case import salt_case

from tankside import lifecycle
from tankside.follow import DayLooked, DecisionInputs, decide, not_before
from tankside.follow.decide import Advice, Fit
from tankside.follow.least_cleared import as_if_unseen
from tankside.follow.posterior import WeightedEnsemble
from tankside.intake.follow_setup import FollowRequest, FollowSetup, course_from, follow_setup
from tankside.lifecycle import Histories, Sighting, anything_seen, observe
from tankside.lifecycle.results.endpoints import clear_at
from tankside.quantity.per import HOURS_PER_DAY
from tankside.records.case_file import read_case

DAYS = (0, 2, 4, 6, 8, 10, 12)
HOURS = tuple(day * HOURS_PER_DAY + 20 for day in DAYS)
FISH = {"platy": 6, "danio": 8}
STANDARD_ERRORS = 4.0
"""Where counts are taken less at their word, another set of histories carries the belief."""


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> tuple[FollowSetup, tuple[Histories, ...]]:
    file = salt_case(tmp_path_factory.mktemp("weir"))
    setup = follow_setup(read_case(file).view(), FollowRequest(seed=4))
    lifecycle.prepare(None)
    course = course_from(setup, ceil(HOURS[-1] / HOURS_PER_DAY) + 1, going_on=True)
    compiled = setup.trial.compile(setup.trial.water(course))
    claims = lifecycle.draw(setup.trial.organism, 256, setup.trial.seed)
    parts = tuple(
        setup.trial.play_from(compiled, start, claims, number, HOURS)
        for number, start in enumerate(setup.starts)
    )
    return setup, parts


def drawn(r: random.Random) -> Sighting:
    """Draw one look at some fish of a group."""
    hour, group = r.choice(HOURS), r.choice(tuple(FISH))
    how = r.choice(("spots", "spots", "scrape"))
    kind = r.choice(("each", "worst", "mean", "carrying"))
    fish = r.randint(1, FISH[group])
    seen = 0.0 if r.random() < 0.4 else float(r.randint(1, fish if kind == "carrying" else 30))
    return Sighting(hour, group, how, (seen,), kind, fish)


def more(r: random.Random, look: Sighting) -> Sighting:
    """Return the look with more seen on it, as it is where every fish carried some already."""
    seen = look.counts[0]
    most = look.fish_seen if look.kind == "carrying" else seen + 30
    return (
        look
        if seen >= most
        else replace(look, counts=(float(r.randint(int(seen) + 1, int(most))),))
    )


def weighed(parts: tuple[Histories, ...], series: list[Sighting]) -> WeightedEnsemble:
    looks = tuple(series)
    return WeightedEnsemble(
        parts,
        tuple(np.zeros(part.weights.size) for part in parts),
        tuple(observe(part, looks) for part in parts),
        tuple(anything_seen(part, looks) for part in parts),
    )


def clear(parts: tuple[Histories, ...], series: list[Sighting]) -> tuple[float, float]:
    """Return the share said to be clear at the end and its standard error."""
    ensemble = weighed(parts, series)
    shares = [
        each.share(lambda h: clear_at(h, h.moment(HOURS[-1])))
        for each in (ensemble, *as_if_unseen(ensemble, tuple(series)))
    ]
    least = min(shares, key=lambda share: share.share)
    return least.share, least.standard_error


def permitted(setup: FollowSetup, series: list[Sighting]) -> bool:
    """Whether a stop may be discussed on the last day, whatever else is believed."""
    looks = [DayLooked(s.hour // HOURS_PER_DAY, s.counts[0] > 0) for s in series]
    last = max(look.day for look in looks)
    seen_last = any(look.seen for look in looks if look.day == last)
    wait = not_before(looks, setup.stage_durations, DAYS[-1])
    inputs = DecisionInputs(DAYS[-1], last, seen_last, wait, Fit.FITS, None, None)
    return decide(inputs).advice is Advice.MAY_DISCUSS


def check(played: tuple[FollowSetup, tuple[Histories, ...]], seeds: range) -> None:
    setup, parts = played
    for seed in seeds:
        r = random.Random(seed)
        series = [drawn(r) for _ in range(r.randint(1, 5))]
        place = r.randrange(len(series))
        seen_more = [*series[:place], more(r, series[place]), *series[place + 1 :]]
        (before, error), (after, other) = (clear(parts, s) for s in (series, seen_more))
        assert after <= before + STANDARD_ERRORS * float(np.hypot(error, other)), seed
        assert permitted(setup, seen_more) <= permitted(setup, series), seed


def test_more_seen_never_raises_the_belief_of_clearance_nor_permission(
    played: tuple[FollowSetup, tuple[Histories, ...]],
) -> None:
    check(played, range(150))


@pytest.mark.slow
def test_a_thousand_series_with_more_seen_never_raise_belief_nor_permission(
    played: tuple[FollowSetup, tuple[Histories, ...]],
) -> None:
    check(played, range(150, 1150))


def test_of_twelve_fish_the_more_carry_any_the_less_is_clear_at_the_word_of_the_counts(
    played: tuple[FollowSetup, tuple[Histories, ...]],
) -> None:
    _, parts = played
    shares = []
    for carrying in range(7):
        look = Sighting(HOURS[-1], "platy", "spots", (float(carrying),), "carrying", 6)
        ensemble = weighed(parts, [look])
        weights = ensemble.weigh(ensemble.log_likelihood)
        gone = np.concatenate([clear_at(p, p.moment(HOURS[-1])) for p in parts])
        shares.append(float(weights[gone].sum() / weights.sum()))
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > 10 * shares[-1]
