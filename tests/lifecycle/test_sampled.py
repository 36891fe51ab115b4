"""What is sampled is listed: every drawn claim, its range, its rivals with weights."""

from __future__ import annotations

import numpy as np
import pytest

from tankside import library, lifecycle
from tankside.lifecycle.results.sampled import sampled_claims

ORGANISMS = {
    name: organism for name, organism in library.load().organisms.items() if organism.stages
}


@pytest.mark.parametrize("name", ORGANISMS)
def test_every_drawn_claim_is_listed_with_the_range_it_is_drawn_from(name: str) -> None:
    organism = ORGANISMS[name]
    draws = lifecycle.draw(organism, 256, 3)
    listed = {row.key: row for row in sampled_claims(organism, ())}
    drawn = {key for key in draws.keys if key in organism.claims and np.ptp(draws.column(key)) > 0}
    assert set(listed) == drawn
    for key, row in listed.items():
        column = draws.column(key)
        assert row.low <= column.min() < column.max() <= row.high
        assert sum(rival.weight for rival in row.among) == pytest.approx(1)


def test_rival_claims_are_drawn_as_often_as_their_listed_weights_say() -> None:
    organism = ORGANISMS["ichthyophthirius_multifiliis"]
    rows = [row for row in sampled_claims(organism, ()) if len(row.among) > 1]
    assert rows
    for row in rows:
        column = lifecycle.draw(organism, 4096, 3).column(row.key)
        for rival in row.among:
            low, high = rival.claim.bounds()
            if low == high:
                assert np.isclose(column, low).mean() == pytest.approx(rival.weight, abs=0.01)


def test_an_agent_that_is_not_in_the_water_is_not_in_use() -> None:
    organism = ORGANISMS["ichthyophthirius_multifiliis"]
    rows = {row.key: row.in_use for row in sampled_claims(organism, ("kill.formalin.",))}
    assert rows["kill.formalin.swimmer.lc50_mg_l"]
    assert not rows["kill.malachite_green.swimmer.lc50_mg_l"]
    assert rows["trophont.residence"]
    assert not rows["seen.eye_detection"]
