from __future__ import annotations

import pytest
from tests.diagnose.more_evidence import and_also

from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose import Evidence, Tables, passed_over, rank
from tankside.diagnose.evidence import informative
from tankside.errors import BadInput


def test_an_unknown_finding_is_refused(tables: Tables) -> None:
    with pytest.raises(BadInput) as refused:
        rank(tables, Evidence.of({"colour_of_the_cat": "black"}))
    assert refused.value.code == "E-FIND-01"
    assert refused.value.given == "colour_of_the_cat"


@pytest.mark.parametrize("answer", ["often", [], ["none", "often"]])
def test_an_unknown_or_empty_answer_is_refused(tables: Tables, answer: list[str] | str) -> None:
    with pytest.raises(BadInput) as refused:
        rank(tables, Evidence.of({"flashing": answer}))
    assert refused.value.code == "E-FIND-02"
    assert "occasional" in refused.value.needed


def test_all_answers_together_say_nothing(facts: DiagnosisFacts) -> None:
    seen = Evidence.of({"flashing": ["none", "occasional", "frequent"]})
    assert informative(facts, seen) == {}


def test_the_group_of_a_marine_fish_tells_that_the_water_is_marine(tables: Tables) -> None:
    group = Evidence.of({"host_marine": "other_marine"})
    both = and_also(group, "water_type", "marine")
    assert rank(tables, group).of("CRYPTO") == rank(tables, both).of("CRYPTO")
    assert rank(tables, group).of("ICH") < 0.01


def test_a_measured_spot_tells_that_spots_are_visible(tables: Tables) -> None:
    spot = Evidence.of({"spot_size": "grain_0p3_1mm"})
    both = and_also(spot, "spots_visible", "yes")
    assert rank(tables, spot).of("ICH") == rank(tables, both).of("ICH")


def test_a_question_that_cannot_arise_is_passed_over_and_named(tables: Tables) -> None:
    seen = Evidence.of({"water_type": "marine", "host_fw": "goldfish_koi"})
    assert passed_over(tables.facts, seen) == ("host_fw",)
    alone = Evidence.of({"water_type": "marine"})
    assert rank(tables, seen).of("KHV") == rank(tables, alone).of("KHV")


def test_taking_a_finding_back_leaves_the_rest(tables: Tables) -> None:
    seen = Evidence.of({"flashing": "frequent", "breathing": "fast"})
    assert seen.without("flashing").answers == {"breathing": frozenset(("fast",))}


def test_present_amount_not_stated_lies_between_few_and_many(tables: Tables) -> None:
    few, many, either = (
        rank(tables, Evidence.of({"m_disc_ring": answer})).of("TRICHO")
        for answer in ("few", "many", ["few", "many"])
    )
    assert few < either < many


def test_two_questions_behind_opposite_gates_leave_both_open(tables: Tables) -> None:
    """A fresh-water group and a marine one: the water is either, whichever was typed first."""
    fresh_first = Evidence.of({"host_fw": "cichlid", "host_marine": "other_marine"})
    two = Evidence.of({"host_marine": "other_marine", "host_fw": "cichlid"})
    assert informative(tables.facts, fresh_first) == informative(tables.facts, two)
    assert rank(tables, fresh_first).of("ICH") == rank(tables, two).of("ICH")
