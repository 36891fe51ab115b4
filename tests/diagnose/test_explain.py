from __future__ import annotations

import math

import pytest
from tests.diagnose.more_evidence import and_also

from tankside.diagnose import Evidence, Ranking, Tables, explain, rank

SEEN = {
    "water_type": "freshwater", "spots_visible": "yes", "spot_form": "smooth_dome_in_skin",
    "spot_size": "over_1mm", "flashing": "frequent", "mortality": "none",
}  # fmt: skip


def log_odds(ranking: Ranking, name: str) -> float:
    return math.log(ranking.of(name) / (1 - ranking.of(name)))


def test_the_weight_of_a_finding_is_the_change_of_log_odds_it_brings(tables: Tables) -> None:
    """Good's weight of evidence, worked out by ranking once more without the finding."""
    ranking = rank(tables, Evidence.of(SEEN))
    weighed = set()
    for why in explain(ranking, ("ICH", "LYMPHO", "NONE")):
        for speaks in (*why.supports, *why.against):
            if speaks.finding == "spots_visible":
                continue  # taking the gate back takes the descriptors with it
            rest = rank(tables, ranking.evidence.without(speaks.finding))
            gained = log_odds(ranking, why.condition) - log_odds(rest, why.condition)
            assert speaks.weight == pytest.approx(gained, abs=1e-9)
            weighed.add(speaks.finding)
    assert weighed == set(SEEN) - {"spots_visible"}


def test_what_speaks_against_the_leader_is_listed(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of(SEEN))
    (leader,) = explain(ranking, ("ICH",))
    assert "spot_size" in {s.finding for s in leader.against}


def test_lists_are_ordered_by_weight(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of(SEEN))
    reasons = explain(ranking, ranking.order())
    assert max(len(why.supports) for why in reasons) > 2
    assert max(len(why.against) for why in reasons) > 2
    for why in reasons:
        gains = [speaks.weight for speaks in why.supports]
        losses = [speaks.weight for speaks in why.against]
        assert gains == sorted(gains, reverse=True)
        assert losses == sorted(losses)


def test_what_would_change_the_order_does_change_it(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of(SEEN))
    (leader,) = explain(ranking, ("ICH",))
    assert leader.would_change
    for speaks in leader.would_change:
        after = rank(tables, and_also(ranking.evidence, speaks.finding, *speaks.answers))
        assert (after.of("ICH") >= 0.5) != (ranking.of("ICH") >= 0.5)


def test_the_weightiest_open_question_of_white_spot_is_the_slide(tables: Tables) -> None:
    seen = Evidence.of({"spots_visible": "yes", "water_type": "freshwater"})
    (explanation,) = explain(rank(tables, seen), ("ICH",))
    assert explanation.unknown[0].finding == "m_big_ciliate"
    assert "m_big_ciliate" not in {s.finding for s in (*explanation.supports, *explanation.against)}
