"""Claim values per history: ranges, rivals by weight, the same stream for any number."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.lifecycle.tanks import stating, white_spot

from tankside import lifecycle
from tankside.claims.organism import JointRows, Organism


def test_every_value_lies_in_the_range_of_its_claim() -> None:
    organism = white_spot()
    draws = lifecycle.draw(organism, 512, 3)
    for key in draws.keys:
        if key in organism.claims and key not in organism.rivals:
            low, high = organism.claims[key].bounds()
            column = draws.column(key)
            varied = low < high
            assert low <= column.min() <= column.max() <= high, key
            assert bool(column.min() < column.max()) is varied, key


def test_salt_that_stops_a_release_is_drawn_from_both_sides_of_print() -> None:
    # 1-1.6 g/L with weight .6 (Mifsud & Rowland 2008), 2.5-5 g/L with .4 (recalled)
    half = lifecycle.draw(white_spot(), 1024, 3).column("cyst.release_salt_half_g_l")
    assert np.mean(half <= 1.6) == pytest.approx(0.6, abs=0.01)
    assert np.mean(half >= 2.5) == pytest.approx(0.4, abs=0.01)


def test_settling_and_lethal_load_go_together_in_the_shipped_rows() -> None:
    # Correlation of logarithms 0.8 in an independent fit of the same rows (decision 15).
    draws = lifecycle.draw(white_spot(), 1024, 3)
    both = [np.log(draws.column(k)) for k in ("swimmer.establish", "host.lethal_load")]
    assert np.corrcoef(both)[0, 1] == pytest.approx(0.8, abs=0.1)


def test_rivals_are_chosen_by_their_weights() -> None:
    # Heat limit of the cyst: 28, 30 and 33 C with weights .4, .4 and .2.
    tops = lifecycle.draw(white_spot(), 1024, 3).column("cyst.hatch_top_c")
    shares = [np.mean(tops == t) for t in (28.0, 30.0, 33.0)]
    assert shares == pytest.approx([0.4, 0.4, 0.2], abs=0.01)


def test_a_logarithmic_claim_has_its_geometric_middle() -> None:
    column = lifecycle.draw(white_spot(), 1024, 3).column("swimmer.life")  # 12 to 48 h
    assert np.median(column) == pytest.approx(24.0, rel=0.02)


def test_more_histories_begin_with_the_same_ones() -> None:
    few, many = (lifecycle.draw(white_spot(), n, 3).values for n in (100, 128))
    assert np.array_equal(few, many[:100])


def together(rows: tuple[tuple[float, ...], ...]) -> Organism:
    """Return white spot with two claims that are drawn as rows of a small table."""
    organism = white_spot()
    keys = ("swimmer.establish", "swimmer.search_l_per_h")
    claims = dict(organism.claims)
    for key in keys:
        claims[key] = replace(claims[key], conditions={"drawn": "together"})
    return replace(organism, claims=claims, together=JointRows(keys, rows))


def test_claims_that_hang_together_are_drawn_as_whole_rows_each_as_often() -> None:
    rows = ((0.1, 3.0), (0.2, 1.0), (0.4, 0.5), (0.8, 0.1))
    draws = lifecycle.draw(together(rows), 512, 3)
    drawn = list(zip(*(draws.column(k) for k in together(rows).together.keys), strict=True))  # type: ignore[union-attr]
    assert {row: drawn.count(row) for row in rows} == dict.fromkeys(rows, 128)


def test_a_figure_fixed_by_hand_leaves_the_rows() -> None:
    fixed = stating(together(((0.1, 3.0), (0.8, 0.1))), swimmer__establish=0.3)
    draws = lifecycle.draw(fixed, 64, 3)
    assert "swimmer.establish" not in draws.keys
    assert set(draws.column("swimmer.search_l_per_h")) == {3.0, 0.1}


def test_fixed_gives_every_history_the_defaults() -> None:
    draws = lifecycle.draw(white_spot(), 4, 3, fixed=True)
    assert set(draws.column("trophont.residence")) == {120.0}
    assert set(draws.column("swimmer.life")) == {24.0}
