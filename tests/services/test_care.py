"""The care of a cause is there for every service, and a stranger is told what there is."""

from __future__ import annotations

import pytest

from tankside.claims.care import CareAct, CareSection
from tankside.errors import BadInput
from tankside.services.care import care_for


def test_nitrite_begins_with_air_and_the_bottle_of_old_water() -> None:
    now = care_for("NITROGEN").said(CareSection.NOW)
    assert now[0].act is CareAct.AIR
    assert any("bottle" in statement.words for statement in now)


def test_koi_virus_stops_movement_at_once_and_names_no_drug_in_any_step() -> None:
    protocol = care_for("KHV")
    assert CareAct.STAND_STILL in {s.act for s in protocol.said(CareSection.NOW)}
    steps = ("now", "first_hour", "today", "this_week")
    drugs = [s for s in protocol.statements if s.section in steps and s.act is CareAct.MEDICINE]
    assert drugs == []


def test_an_id_is_found_in_any_case() -> None:
    assert care_for("khv") == care_for("KHV")
    assert care_for("Nothing_Wrong").id == "nothing_wrong"


def test_breeding_tubercles_get_no_course() -> None:
    protocol = care_for("TUBERCLE")
    steps = ("now", "first_hour", "today", "this_week")
    acts = {s.act for s in protocol.statements if s.section in steps}
    assert acts.isdisjoint({CareAct.MEDICINE, CareAct.SALT, CareAct.WARMTH})


@pytest.mark.parametrize(("typed", "near"), [("KHW", "KHV"), ("two causes", "two_causes")])
def test_a_cause_without_care_is_refused_with_the_nearest(typed: str, near: str) -> None:
    with pytest.raises(BadInput) as refused:
        care_for(typed)
    assert refused.value.code == "E-KNOW-02"
    assert near in refused.value.next_step


def test_a_name_like_nothing_is_sent_to_the_list() -> None:
    with pytest.raises(BadInput) as refused:
        care_for("%%%%")
    assert "tankside knowledge show care" in refused.value.next_step
