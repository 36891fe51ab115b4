"""The mean twin against closed forms, and the loop's mean against the twin."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import gammaincc
from tests.lifecycle.agreement import loop
from tests.lifecycle.mean_twin import Chain
from tests.lifecycle.tanks import without

from tankside.bench.kernel_models import Model, model, warming

EXACT = 1e-6
DAY = 24


def hours(number: int) -> list[dict[str, float]]:
    return [{} for _ in range(number)]


def test_pure_death_is_an_exponential() -> None:
    chain = Chain(["swimmer"])
    chain.passes("swimmer", "", 1 / 18)
    mean = chain.run({"swimmer": 300.0}, hours(96))["swimmer"]
    assert mean == pytest.approx(300 * np.exp(-np.arange(97) / 18), rel=EXACT)


def test_pure_birth_is_an_exponential() -> None:
    chain = Chain(["divider"])
    chain.bears("divider", "divider", 0.03)
    mean = chain.run({"divider": 10.0}, hours(240))["divider"]
    assert mean == pytest.approx(10 * np.exp(0.03 * np.arange(241)), rel=EXACT)


def test_birth_and_death_grow_by_their_difference() -> None:
    chain = Chain(["divider"])
    chain.bears("divider", "divider", 0.03)
    chain.passes("divider", "", 0.05)
    mean = chain.run({"divider": 10.0}, hours(240))["divider"]
    assert mean == pytest.approx(10 * np.exp(-0.02 * np.arange(241)), rel=EXACT)


@pytest.mark.parametrize("shape", [1, 2, 6, 8, 25])
def test_chain_of_steps_is_an_erlang_stay(shape: int) -> None:
    chain = Chain()
    first, last = chain.stage("stay", 24.0, shape)
    chain.passes(last, "", shape / 24)
    mean = chain.run({first: 1.0}, hours(96))["stay"]
    assert mean == pytest.approx(gammaincc(shape, np.arange(97) * shape / 24), rel=EXACT)


def test_stay_follows_its_own_clock_when_the_water_warms() -> None:
    chain = Chain()
    first, last = chain.stage("stay", 24.0, 6, clock="warm")
    chain.passes(last, "", 6 / 24, clock="warm")
    speed = np.linspace(0.5, 2.0, 72)
    mean = chain.run({first: 1.0}, [{"warm": float(s)} for s in speed])["stay"]
    passed = np.concatenate([[0], np.cumsum(speed)])
    assert mean == pytest.approx(gammaincc(6, passed * 6 / 24), rel=EXACT)


def test_water_changes_dilute_by_their_product() -> None:
    chain = Chain(["swimmer"])
    done = {h: [("swimmer", 0.25)] for h in range(12, 240, DAY)}
    mean = chain.run({"swimmer": 1000.0}, hours(240), done)["swimmer"]
    changes = np.maximum(np.ceil((np.arange(241) - 12) / DAY), 0)
    assert mean == pytest.approx(1000 * 0.75**changes, rel=EXACT)


def test_one_generation_settles_in_the_ratio_of_the_hazards() -> None:
    chain = Chain(["swimmer", "settled"])
    first, last = chain.stage("cyst", 24.0, 6)
    chain.passes(last, "swimmer", 6 / 24, many=300.0)
    chain.passes("swimmer", "", 1 / 18)
    chain.passes("swimmer", "settled", 0.0015)
    mean = chain.run({first: 20.0}, hours(2400))["settled"][-1]
    assert mean == pytest.approx(20 * 300 * 0.0015 / (0.0015 + 1 / 18), rel=EXACT)


def linear(name: str, days: int) -> Model:
    """Return a frozen model where the mean is linear: equal fish that never die."""
    frozen = model(name, days=days)
    return replace(frozen, organism=without(frozen.organism, "host."))


def twin(frozen: Model, days: int) -> dict[str, np.ndarray]:
    """Return the expected numbers of a frozen model without deaths, hour by hour."""
    claim = {key: stated.number() for key, stated in frozen.organism.claims.items()}
    course = frozen.settings
    treated = course["treated"]
    chain = Chain()
    first, leaving = chain.stage("feeding", claim["feeding.residence"], 8, clock="warm")
    below, hatching = chain.stage("cyst", claim["cyst.residence"], 6, clock="warm")
    chain.steps.append("swimmer")
    chain.passes(leaving, below, 8 / claim["feeding.residence"], clock="warm")
    brood = claim["cyst.offspring"]
    chain.passes(hatching, "swimmer", 6 / claim["cyst.residence"], many=brood, clock="warm")
    chain.passes("swimmer", "", np.log(2) / claim["swimmer.life"])
    chain.passes("swimmer", "", 1.0, clock="kill")
    chain.passes("swimmer", first, 20 * claim["swimmer.search_l_per_h"])
    warm = 2.0 ** ((warming(course, days * DAY) - 25) / 10)
    kill = frozen.swimmer_kill_per_h
    speeds = [{"warm": float(w), "kill": float(k)} for w, k in zip(warm, kill, strict=True)]
    done = {}
    if frozen.name == "B":
        for day in range(0, days * DAY, DAY):
            done[day + treated["siphon_hour"]] = [("cyst", treated["siphon_share"])]
            done[day + treated["water_hour"]] = [("swimmer", treated["water_share"])]
    return chain.run({first: 50.0}, speeds, done)


def against_twin(name: str, days: tuple[int, ...], histories: int) -> np.ndarray:
    """Return the loop's mean less the twin's, in Monte Carlo standard errors."""
    frozen = linear(name, days[-1])
    ours = loop(frozen, histories, days=days)
    wanted = twin(frozen, days[-1])
    error = ours.std(axis=0) / np.sqrt(histories)
    rows = [
        (ours[:, :, k].mean(axis=0) - wanted[stage][np.asarray(days) * DAY]) / error[:, k]
        for k, stage in enumerate(("feeding", "cyst", "swimmer"))
    ]
    return np.asarray(rows)


@pytest.mark.slow
@pytest.mark.timeout(3600)
@pytest.mark.parametrize(("name", "days"), [("A", (2, 4, 6, 8)), ("B", (2, 5, 10, 20, 30))])
def test_mean_of_a_million_histories_is_the_twins(name: str, days: tuple[int, ...]) -> None:
    assert np.abs(against_twin(name, days, 1_000_000)).max() < 4


@pytest.mark.parametrize("name", ["A", "B"])
def test_mean_of_a_few_histories_is_the_twins(name: str) -> None:
    assert np.abs(against_twin(name, (3, 6), 4000)).max() < 4
