"""Weight from length: a species' own pair, the shape of its body, all fish, and what is no fish."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankside.course.bodies.stock import StockGroup, weight_from_length, with_weights
from tankside.library import load

LIBRARY = load()


def test_cardinal_tetra_by_its_own_pair() -> None:
    """W = 0.014 L^2.528 (cardinal tetra, before transport; hosts notes): 3 cm weighs 0.225 g."""
    weight = weight_from_length(LIBRARY, LIBRARY.hosts["paracheirodon_axelrodi"], 3.0)
    assert weight is not None
    low, point, high = weight
    assert point == pytest.approx(0.014 * 3.0**2.528)
    assert high / point == pytest.approx(point / low) == pytest.approx(1.5)


def test_a_pair_read_across_is_given_the_spread_of_a_body_shape() -> None:
    weight = weight_from_length(LIBRARY, LIBRARY.hosts["chromobotia_macracanthus"], 9.0)
    assert weight is not None
    assert weight[2] / weight[1] == pytest.approx(2.2)


def test_an_unknown_species_gets_the_widest_bracket() -> None:
    """Froese et al. 2014, all shapes: log10 a -2.00 (sd 0.313), b 3.04; 95 % is a factor 4.1."""
    weight = weight_from_length(LIBRARY, None, 10.0)
    assert weight is not None
    assert weight[1] == pytest.approx(0.01 * 10**3.04, rel=1e-3)
    assert weight[2] / weight[1] == pytest.approx(4.1, rel=0.01)


def test_a_host_without_a_pair_falls_back_to_its_shape() -> None:
    host = LIBRARY.hosts["chromobotia_macracanthus"]
    bare = replace(host, claims={"body_shape": host.claims["body_shape"]})
    weight = weight_from_length(LIBRARY, bare, 10.0)
    assert weight is not None
    assert weight[1] == pytest.approx(10**-1.95 * 10**3.04, rel=1e-3)  # fusiform prior


def test_a_shrimp_has_no_weight_by_fish_rules() -> None:
    assert weight_from_length(LIBRARY, LIBRARY.hosts["neocaridina_davidi"], 2.0) is None


def test_without_length_the_weight_stays_unknown_and_a_known_weight_stays() -> None:
    unknown = StockGroup("a", None, "a", 1, None, None, "t")
    weighed = StockGroup("b", None, "b", 1, 5.0, (1.0, 2.0, 3.0), "t")
    groups = with_weights(LIBRARY, (unknown, weighed))
    assert groups[0].weight_g is None
    assert groups[1].weight_g == (1.0, 2.0, 3.0)
