import math

import pytest
from tests.diagnose.more_evidence import and_also

from tankside.diagnose import Evidence, explain, rank

SEEN = {
    "water_type": "freshwater", "spots_visible": "yes", "spot_form": "smooth_dome_in_skin",
    "spot_size": "over_1mm", "flashing": "frequent", "mortality": "none",
}  # fmt: skip


def log_odds(ranking, name):
    return math.log(ranking.of(name) / (1 - ranking.of(name)))


def test_the_weight_of_a_finding_is_the_change_of_log_odds_it_brings(tables):
    """Good's weight of evidence, worked out by ranking once more without the finding."""
    ranking = rank(tables, Evidence.of(SEEN))
    for explanation in explain(ranking, ("ICH", "LYMPHO", "NONE")):
        for speaks in (*explanation.supports, *explanation.against):
            if speaks.finding in ("spots_visible",):
                continue  # taking the gate back takes the descriptors with it
            rest = rank(tables, ranking.evidence.without(speaks.finding))
            gained = log_odds(ranking, explanation.condition) - log_odds(
                rest, explanation.condition
            )
            assert speaks.weight == pytest.approx(gained, abs=1e-9)


def test_what_speaks_against_the_leader_is_listed(tables):
    ranking = rank(tables, Evidence.of(SEEN))
    (leader,) = explain(ranking, ("ICH",))
    assert "spot_size" in {s.finding for s in leader.against}


def test_lists_are_ordered_by_weight(tables):
    ranking = rank(tables, Evidence.of(SEEN))
    for explanation in explain(ranking, tables.ids):
        assert [s.weight for s in explanation.supports] == sorted(
            (s.weight for s in explanation.supports), reverse=True
        )
        assert [s.weight for s in explanation.against] == sorted(
            s.weight for s in explanation.against
        )


def test_what_would_change_the_order_does_change_it(tables):
    ranking = rank(tables, Evidence.of(SEEN))
    (leader,) = explain(ranking, ("ICH",))
    assert leader.would_change
    for speaks in leader.would_change:
        after = rank(tables, and_also(ranking.evidence, speaks.finding, *speaks.answers))
        assert (after.of("ICH") >= 0.5) != (ranking.of("ICH") >= 0.5)


def test_the_weightiest_open_question_of_white_spot_is_the_slide(tables):
    seen = Evidence.of({"spots_visible": "yes", "water_type": "freshwater"})
    (explanation,) = explain(rank(tables, seen), ("ICH",))
    assert explanation.unknown[0].finding == "m_big_ciliate"
    assert "m_big_ciliate" not in {s.finding for s in (*explanation.supports, *explanation.against)}
