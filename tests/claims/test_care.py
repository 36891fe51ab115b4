"""Care is said in order of danger, the cause before what always holds, and owns up to its marks."""

from __future__ import annotations

from types import MappingProxyType

import pytest

from tankside.claims import Claim, Confidence, Provenance
from tankside.claims.care import (
    CareAct,
    CareDecider,
    CareDepth,
    CareProtocol,
    CareSection,
    CareStatement,
    care_of,
    sourced_share,
)


def said(
    words: str,
    name: str,
    act: CareAct = CareAct.LOOK,
    section: CareSection = CareSection.NOW,
    provenance: Provenance = Provenance.FOUND,
    source: str = "a_work",
    only: str = "",
) -> CareStatement:
    claim = Claim(
        f"care.x.{section}.{name}", words or None, "", provenance, Confidence.LOW,
        source=source, unknown_because="" if words else "nobody looked",
    )  # fmt: skip
    return CareStatement(section, name, claim, act, CareDecider.KEEPER, only=only)


def protocol(
    id: str, *statements: CareStatement, causes: tuple[str, ...] = (), depth: str = "full"
) -> CareProtocol:
    return CareProtocol(id, id, CareDepth(depth), causes, statements)


PLAIN = CareProtocol(
    "plain", "plain", CareDepth.FULL, ("SCALE",), (said("do nothing", "nothing"),), ("now.air",)
)
ALWAYS = protocol(
    "any_cause",
    said("break the surface", "air", CareAct.AIR),
    said("no food", "no_food", CareAct.FEED),
    depth="general",
)
SPOTS = protocol(
    "spots",
    said("look at a spot", "look"),
    said("dose the water", "dose", CareAct.MEDICINE, CareSection.TODAY),
    said("change the water", "change", CareAct.WATER, CareSection.TODAY),
    said("air for its gills", "air", CareAct.AIR),
    said("of the first alone", "first", only="ONE"),
    causes=("ONE", "TWO"),
)
BASE = MappingProxyType({p.id: p for p in (SPOTS, PLAIN, ALWAYS)})


def words(wanted: str, section: CareSection) -> list[str]:
    return [s.words for s in care_of(BASE, wanted).said(section)]


def test_air_stands_first_and_a_statement_of_the_cause_replaces_the_general_one() -> None:
    assert words("TWO", CareSection.NOW) == ["air for its gills", "look at a spot", "no food"]


def test_water_stands_before_a_drug_whatever_the_order_of_the_file() -> None:
    assert words("TWO", CareSection.TODAY) == ["change the water", "dose the water"]


def test_a_statement_for_one_cause_is_not_said_of_its_neighbour() -> None:
    assert "of the first alone" in words("ONE", CareSection.NOW)
    assert "of the first alone" not in words("TWO", CareSection.NOW)


def test_a_general_statement_that_does_not_hold_is_left_out() -> None:
    assert words("scale", CareSection.NOW) == ["do nothing", "no food"]


def test_a_general_step_gives_way_to_one_of_the_same_name_in_another_step() -> None:
    fed = protocol(
        "fed", said("no food today", "no_food", CareAct.FEED, CareSection.TODAY), causes=("FED",)
    )
    alone = care_of({"fed": fed, "any_cause": ALWAYS}, "FED").statements
    assert [s.words for s in alone] == ["break the surface", "no food today"]


def test_a_hose_is_shut_before_air_and_water_is_measured_before_it_is_changed() -> None:
    hose = protocol(
        "hose",
        said("change it", "change", CareAct.WATER),
        said("test it", "test", CareAct.MEASURE),
        said("shut the hose", "hose", CareAct.STOP),
        causes=("HOSE",),
    )
    now = care_of({"hose": hose, "any_cause": ALWAYS}, "HOSE").said(CareSection.NOW)
    assert [s.name for s in now] == ["hose", "air", "test", "change", "no_food"]


def test_a_situation_is_asked_for_by_its_own_id_and_a_stranger_is_refused() -> None:
    assert care_of(BASE, "any_cause").statements == ALWAYS.statements
    with pytest.raises(KeyError):
        care_of(BASE, "THREE")


def test_without_what_always_holds_a_protocol_stands_alone() -> None:
    alone = {"spots": SPOTS}
    assert len(care_of(alone, "ONE").statements) == len(SPOTS.statements)


def test_what_is_not_known_says_why() -> None:
    assert said("", "none").words == "Not known: nobody looked"


def test_what_has_no_opened_source_is_marked_in_words() -> None:
    assert said("a", "a").mark == ""
    assert "estimate" in said("b", "b", provenance=Provenance.ESTIMATE, source="").mark
    assert "recalled" in said("c", "c", provenance=Provenance.MEMORY).mark
    assert "custom" in said("d", "d", provenance=Provenance.COMMON_PRACTICE, source="").mark


def test_only_an_opened_source_counts_as_sourced() -> None:
    some = protocol(
        "p",
        said("a", "a"),
        said("b", "b", provenance=Provenance.MEMORY),
        said("c", "c", provenance=Provenance.ESTIMATE, source=""),
        said("d", "d", source=""),
    )
    assert sourced_share([some]) == pytest.approx(1 / 4)
    assert sourced_share([]) == 0
