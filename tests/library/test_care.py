"""The shipped care: every cause has it, whole, in order of danger, with as many sources as it says.

The marks are counted here from the files themselves, not through the program's own count.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from tankside.claims.care import (
    DRUG_ACTS,
    FIRST_ACTS,
    STEPS,
    CareAct,
    CareDepth,
    CareSection,
    CareStatement,
    care_of,
    sourced_share,
)
from tankside.library import data_root, load

CARE = load().care
CAUSES = sorted(load().conditions)
# The causes of the first table, and those that the second pass of the differential added.
FULL, SHORT = 38, 16
LEAST_FULL, LEAST_SHORT = 0.85, 0.60
WHOLE = set(CareSection) - {CareSection.IF_IT_WORKS, CareSection.SECOND_CAUSE}


def files(depth: str) -> list[Mapping[str, Any]]:
    read = (tomllib.loads(p.read_text(encoding="utf-8")) for p in _paths())
    return [content for content in read if content["care"]["depth"] == depth]


def _paths() -> Iterator[Path]:
    yield from (data_root() / "care").glob("*.toml")


def share(contents: list[Mapping[str, Any]]) -> float:
    """Count the statements marked as found with a work of the register that was opened."""
    works = load().sources
    marks: list[bool] = [
        claim["provenance"] == "found" and works[claim["source"]].status == "found"
        for content in contents
        for claim in content["claim"]
    ]
    return sum(marks) / len(marks)


def test_the_full_protocols_rest_on_sources_that_were_opened() -> None:
    assert len(files("full")) == FULL
    assert share(files("full")) >= LEAST_FULL


def test_the_short_protocols_rest_on_sources_that_were_opened() -> None:
    assert len(files("short")) == SHORT
    assert share(files("short")) >= LEAST_SHORT


def test_the_count_of_the_program_is_the_count_of_the_files() -> None:
    for depth in CareDepth:
        some = [protocol for protocol in CARE.values() if protocol.depth is depth]
        assert sourced_share(some) == pytest.approx(share(files(depth)))


def test_a_mark_taken_away_is_noticed() -> None:
    contents = files("full")
    before = share(contents)
    counted = next(c for c in contents[0]["claim"] if c["provenance"] == "found")
    counted["provenance"] = "memory"
    assert share(contents) < before


@pytest.mark.parametrize("cause", [*CAUSES, "two_causes", "nothing_wrong"])
def test_every_cause_is_cared_for_from_the_first_hour_to_the_time_after(cause: str) -> None:
    said = {statement.section for statement in care_of(CARE, cause).statements}
    assert sorted(WHOLE - said) == []


def in_steps_said(cause: str) -> Iterator[tuple[CareSection, tuple[CareStatement, ...]]]:
    protocol = care_of(CARE, cause)
    yield from ((section, protocol.said(section)) for section in STEPS)


@pytest.mark.parametrize("cause", [*CAUSES, "two_causes", "nothing_wrong"])
def test_air_and_water_are_said_before_drugs(cause: str) -> None:
    for section, said in in_steps_said(cause):
        acts = [statement.act for statement in said]
        drugs = [at for at, act in enumerate(acts) if act in DRUG_ACTS]
        first = [at for at, act in enumerate(acts) if act in FIRST_ACTS]
        assert not drugs or section is not CareSection.NOW
        assert not drugs or not first or max(first) < min(drugs)


# What is no disease: the tank is left alone, and nobody nets a fish for it.
LEFT_ALONE = {"ARTEFACT", "TUBERCLE"}


def test_only_what_is_no_disease_is_left_alone() -> None:
    alone = {c for p in CARE.values() if "now.air" in p.without for c in p.causes}
    assert alone == LEFT_ALONE
    for cause in LEFT_ALONE:
        acts = {s.act for _, steps in in_steps_said(cause) for s in steps}
        assert acts.isdisjoint({*DRUG_ACTS, CareAct.WARMTH})


@pytest.mark.parametrize("cause", sorted({*CAUSES} - LEFT_ALONE))
def test_the_first_thing_said_is_air_or_water_and_a_water_fault_comes_before_a_parasite(
    cause: str,
) -> None:
    protocol = care_of(CARE, cause)
    assert protocol.said(CareSection.NOW)[0].act in FIRST_ACTS
    names = [s.name for s in protocol.said(CareSection.TODAY)]
    drugs = [i for i, s in enumerate(protocol.said(CareSection.TODAY)) if s.act in DRUG_ACTS]
    assert all(names.index("water_fault_first") < at for at in drugs)


@pytest.mark.parametrize("cause", CAUSES)
def test_a_cause_that_must_be_reported_names_the_countries(cause: str) -> None:
    """KHV and spring viraemia are notifiable in the UK: GOV.UK, report serious fish diseases."""
    condition = load().conditions[cause]
    countries = {s.country for s in care_of(CARE, cause).said(CareSection.REPORT)}
    assert "any" in countries, "what is not known is said"
    if condition.reportable.startswith("yes"):
        protocol = next(p for p in CARE.values() if cause in p.causes)
        named = {s.country for s in protocol.said(CareSection.REPORT)}
        assert {"GB", "international"} <= named


def test_no_statement_about_a_drug_shows_an_amount() -> None:
    amount = re.compile(r"\d ?(mg|g/L|ppm|%|mL|mg/kg)|percent|per cent", re.IGNORECASE)
    shown = [
        f"{protocol.id}: {statement.words}"
        for protocol in CARE.values()
        for statement in protocol.statements
        if statement.act in (*DRUG_ACTS, CareAct.END_LIFE) and amount.search(statement.words)
    ]
    assert shown == []


def test_the_groups_that_are_not_listed_share_a_protocol_and_keep_their_own_steps() -> None:
    def own(cause: str) -> set[str]:
        return {s.name for s in care_of(CARE, cause).statements if s.only}

    assert own("NOT_IN_LIST_GERM") == {"close_the_tank", "freshest_fish", "no_parasite_course"}
    assert own("NOT_IN_LIST_ORGAN").isdisjoint(own("NOT_IN_LIST_GERM"))
    assert own("KHV") == set()
