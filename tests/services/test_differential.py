"""What fits as one answer: its parts come from the same evidence, and are worked out by hand."""

from __future__ import annotations

import pytest

from tankside.diagnose import Evidence, rank
from tankside.errors import BadInput
from tankside.services.differential import (
    DifferentialAnswer,
    differential,
    early_list,
    tables,
)

CALL = {"water_type": "freshwater", "spots_visible": "yes", "flashing": "frequent"}
TESTED = {"nitrogen": "safe", "m_big_ciliate": "crescent_nucleus"}


@pytest.fixture(scope="module")
def answer() -> DifferentialAnswer:
    return differential(Evidence.of({**CALL, **TESTED}), seed=1, redraws=20)


def test_the_early_list_is_that_of_the_call_alone(answer: DifferentialAnswer) -> None:
    """What a test or a microscope showed is not in it."""
    assert answer.early == early_list(tables(), Evidence.of(CALL))
    assert answer.early == early_list(tables(), Evidence.of({**CALL, **TESTED}))
    slide = Evidence.of({**CALL, "m_disc_ring": "many", "m_fluke_gill": "many"})
    assert answer.early == early_list(tables(), slide)


def test_two_causes_together_are_the_chances_of_all_sets_of_two(
    answer: DifferentialAnswer,
) -> None:
    every = answer.ranking.sets(len(answer.ranking.chance))
    together = sum(chance for causes, chance in every if len(causes) > 1)
    assert 0 < together < 1
    assert answer.two_causes == pytest.approx(together)


def test_each_cause_of_the_ranking_has_its_reasons_and_its_band(
    answer: DifferentialAnswer,
) -> None:
    order = answer.ranking.order()
    assert tuple(answer.reasons) == order
    assert set(answer.bands.edges) == set(order)
    assert answer.ranking.of("ICH") == rank(tables(), Evidence.of({**CALL, **TESTED})).of("ICH")


def test_the_seed_names_the_redraws_and_nothing_else() -> None:
    seen = Evidence.of(CALL)
    first, again, other = (differential(seen, seed=s, redraws=20) for s in (1, 1, 2))
    assert first.bands == again.bands
    assert first.bands != other.bands
    assert first.ranking.order() == other.ranking.order()


def test_what_cannot_be_looked_at_is_not_offered_and_must_be_a_finding() -> None:
    seen = Evidence.of(CALL)
    offered = {look.finding for look in differential(seen, seed=1, redraws=2).looks.looks}
    unable = frozenset(sorted(offered)[:2])
    rest = differential(seen, seed=1, redraws=2, cannot=unable).looks.looks
    assert rest
    assert not unable & {look.finding for look in rest}
    with pytest.raises(BadInput) as refused:
        differential(seen, seed=1, redraws=2, cannot=frozenset({"colour_of_the_cat"}))
    assert (refused.value.code, refused.value.given) == ("E-FIND-01", "colour_of_the_cat")
