"""Bounds from samples against printed tables, brute force and exact fractions."""

from __future__ import annotations

import csv
from collections.abc import Callable
from fractions import Fraction
from itertools import combinations
from math import comb
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.errors import BadInput
from tankside.sampling import clopper_pearson, in_words, largest_number, largest_share
from tankside.sampling.chance import chance_at_most

GOLDEN = Path(__file__).resolve().parents[1] / "golden"


def rows(topic: str) -> list[dict[str, str]]:
    lines = (GOLDEN / f"{topic}.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.mark.parametrize("row", rows("zero_of_n"), ids=lambda row: row["examined"])
def test_zero_of_n_matches_the_printed_table(
    row: dict[str, str], trust_record: Callable[..., None]
) -> None:
    got = 100 * largest_share(0, int(row["examined"]))
    difference, allowed = got - float(row["per_cent"]), float(row["tol_abs"])
    good = abs(difference) <= allowed
    trust_record(
        "zero_of_n",
        row["source"],
        "largest share not excluded, 0 of n [%]",
        difference,
        allowed,
        "pass" if good else "fail",
        "table from memory",
    )
    assert good


@pytest.mark.parametrize(
    "row", rows("clopper_pearson"), ids=lambda r: f"{r['positives']}_{r['examined']}"
)
def test_two_sided_interval_matches_the_printed_table(
    row: dict[str, str], trust_record: Callable[..., None]
) -> None:
    got = clopper_pearson(int(row["positives"]), int(row["examined"]))
    allowed = float(row["tol_abs"])
    for edge, value in (("low", got.low), ("high", got.high)):
        difference = value - float(row[edge])
        good = abs(difference) <= allowed
        trust_record(
            "clopper_pearson",
            row["source"],
            f"{edge} edge of the exact two-sided 95 % interval",
            difference,
            allowed,
            "pass" if good else "fail",
            "table from memory",
        )
        assert good


def test_scenario_one_zero_of_five_allows_45_per_cent_and_10_of_25() -> None:
    """The practitioner's arithmetic of scenario S1."""
    assert round(100 * largest_share(0, 5)) == 45
    assert largest_number(0, 5, 25) == 10


@pytest.mark.parametrize(("examined", "per_cent"), [(3, 63), (5, 45), (10, 26), (30, 10)])
def test_zero_findings_in_whole_per_cent(examined: int, per_cent: int) -> None:
    """Closed form 1 - 0.05^(1/n), a second road that needs no beta function."""
    assert round(100 * largest_share(0, examined)) == per_cent
    assert largest_share(0, examined) == pytest.approx(1 - 0.05 ** (1 / examined), rel=1e-12)


def exact_chance(
    positives: int, examined: int, carriers: int, population: int, sensitivity: Fraction
) -> Fraction:
    """Add up every way to draw and to see, in exact fractions."""
    total = Fraction(0)
    for drawn in range(examined + 1):
        ways = Fraction(
            comb(carriers, drawn) * comb(population - carriers, examined - drawn),
            comb(population, examined),
        )
        seen = sum(
            Fraction(comb(drawn, k)) * sensitivity**k * (1 - sensitivity) ** (drawn - k)
            for k in range(min(positives, drawn) + 1)
        )
        total += ways * seen
    return total


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_chance_equals_exact_fractions(data: st.DataObject) -> None:
    population = data.draw(st.integers(1, 40))
    carriers = data.draw(st.integers(0, population))
    examined = data.draw(st.integers(0, population))
    positives = data.draw(st.integers(0, examined))
    tenths = data.draw(st.integers(1, 10))
    exact = exact_chance(positives, examined, carriers, population, Fraction(tenths, 10))
    got = chance_at_most(positives, examined, carriers, population, tenths / 10)
    assert got == pytest.approx(float(exact), abs=1e-11)


def test_chance_equals_listing_every_sample() -> None:
    carriers, population, examined = 3, 8, 4
    samples = list(combinations(range(population), examined))
    clean = sum(all(fish >= carriers for fish in sample) for sample in samples)
    assert chance_at_most(0, examined, carriers, population, 1.0) == pytest.approx(
        clean / len(samples), abs=1e-12
    )


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_largest_number_is_the_last_that_is_not_excluded(data: st.DataObject) -> None:
    population = data.draw(st.integers(2, 60))
    examined = data.draw(st.integers(0, population))
    positives = data.draw(st.integers(0, examined))
    sensitivity = data.draw(st.sampled_from([1.0, 0.9, 0.5]))
    most = largest_number(positives, examined, population, sensitivity=sensitivity)
    assert positives <= most <= population
    excluded = 0.05 * (1 + 1e-12)
    if most < population:
        assert chance_at_most(positives, examined, most + 1, population, sensitivity) <= excluded
    if most > positives:
        assert chance_at_most(positives, examined, most, population, sensitivity) > excluded


@pytest.mark.parametrize(("examined", "most"), [(19, 0), (1, 18)])
def test_a_chance_of_just_one_in_twenty_is_excluded(examined: int, most: int) -> None:
    # One carrier among 20 is missed by 19 looks once in 20; 19 carriers by one look once in 20.
    assert largest_number(0, examined, 20) == most


@settings(max_examples=60, deadline=None)
@given(examined=st.integers(1, 200), data=st.data())
def test_bound_covers_the_truth_as_often_as_it_says(examined: int, data: st.DataObject) -> None:
    """P(X <= x) at the bound itself is 5 % for every x: the definition, by direct sums."""
    positives = data.draw(st.integers(0, examined - 1))
    p = largest_share(positives, examined)
    tail = sum(comb(examined, k) * p**k * (1 - p) ** (examined - k) for k in range(positives + 1))
    assert tail == pytest.approx(0.05, rel=1e-6)


def test_missing_carriers_widens_the_bound() -> None:
    assert largest_share(0, 5, sensitivity=0.7) > largest_share(0, 5)
    assert largest_number(0, 5, 25, sensitivity=0.7) > largest_number(0, 5, 25)


def test_examining_all_with_sure_looks_leaves_none() -> None:
    assert largest_number(0, 25, 25) == 0


def test_nothing_examined_excludes_nothing() -> None:
    assert largest_share(0, 0) == 1
    assert largest_number(0, 0, 25) == 25
    assert "nothing is excluded" in in_words(0, 0)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: largest_share(6, 5), "E-COUNT-01"),
        (lambda: largest_share(-1, 5), "E-COUNT-01"),
        (lambda: largest_number(0, 26, 25), "E-COUNT-01"),
        (lambda: largest_share(0, 5, sensitivity=0), "E-RANGE-01"),
        (lambda: largest_share(0, 5, confidence=95), "E-RANGE-01"),
    ],
)
def test_impossible_counts_are_refused(call: Callable[..., Any], code: str) -> None:
    with pytest.raises(BadInput) as refused:
        call()
    assert refused.value.code == code


def test_words_give_both_bounds_and_do_not_call_it_clear() -> None:
    text = in_words(0, 5, population=25)
    assert "up to 45 %" in text
    assert "up to 10 of 25" in text
    assert "not proof of absence" in text
