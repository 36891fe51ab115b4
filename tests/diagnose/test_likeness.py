"""Structure in the bands, and words where nothing on the list can part two causes."""

from __future__ import annotations

import dataclasses
from types import MappingProxyType

import numpy as np
import pytest

from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose import Evidence, Tables, bands, compile_tables, looks_alike, rank

REDRAWS = 600


def planted(facts: DiagnosisFacts) -> list[tuple[str, str]]:
    """Twenty recorded look-alikes of which both are on the list, the one to take off first."""
    pairs = [
        (twin.id, other)
        for twin in facts.twins
        if twin.id in facts.conditions
        for other in twin.looks_like
        if facts.conditions[other].listed and twin.id != other
    ]
    return pairs[:20]


def evidence_of(facts: DiagnosisFacts, cause: str) -> Evidence:
    """The three most telling answers of a cause, by its own row."""
    rows = facts.conditions[cause].cells.values()
    telling = sorted(
        (
            (
                cell.answers[a].point / facts.findings[cell.finding].baseline.answers[a].point,
                a,
                cell,
            )
            for cell in rows
            for a in cell.answers
            if facts.findings[cell.finding].role == "sign"
            and not facts.findings[cell.finding].gate
            and facts.findings[cell.finding].baseline.answers[a].point > 0
        ),
        key=lambda row: -row[0],
    )
    chosen: dict[str, str] = {}
    for _, answer, cell in telling:
        if len(chosen) < 3:
            chosen.setdefault(cell.finding, answer)
    return Evidence.of(chosen)


def test_there_are_twenty_pairs(facts: DiagnosisFacts) -> None:
    assert len(planted(facts)) == 20


@pytest.mark.parametrize("number", range(20))
def test_taking_a_twin_off_the_list_widens_the_band_of_the_cause_that_stays(
    facts: DiagnosisFacts, number: int
) -> None:
    """On the logarithm of the chance: the point itself rises when a rival is gone."""
    gone, stays = planted(facts)[number]
    seen = evidence_of(facts, stays)
    left = {name: c for name, c in facts.conditions.items() if name != gone}
    pairs = tuple(p for p in facts.pairs if gone not in (p.first, p.second))
    fewer = dataclasses.replace(facts, conditions=MappingProxyType(left), pairs=pairs)

    def below(knowledge: DiagnosisFacts) -> float:
        ranking = rank(compile_tables(knowledge), seen)
        low, _ = bands(ranking, np.random.default_rng(7), REDRAWS).edges[stays]
        return float(np.log(ranking.of(stays) / low))

    assert below(fewer) > below(facts)


def test_an_unexplained_rare_sign_widens_the_band(tables: Tables) -> None:
    seen = {"m_big_ciliate": "crescent_nucleus", "spots_visible": "yes", "water_type": "freshwater"}
    plain = rank(tables, Evidence.of(seen))
    riddle = rank(tables, Evidence.of({**seen, "lab_histology": "brain_holes"}))
    plain_low, _ = bands(plain, np.random.default_rng(2), REDRAWS).edges["ICH"]
    low, high = bands(riddle, np.random.default_rng(2), REDRAWS).edges["ICH"]
    assert riddle.of("ICH") > 0.5
    assert high - low > 0.1
    assert riddle.of("ICH") - low > plain.of("ICH") - plain_low


def test_a_look_alike_that_is_not_listed_is_named_with_its_test(tables: Tables) -> None:
    seen = {"m_granuloma": "granuloma", "body_condition": "thin", "onset_speed": "months"}
    ranking = rank(tables, Evidence.of(seen))
    assert ranking.order()[0] == "MYCOBACT"
    others = {pair.other: pair.parted_by for pair in looks_alike(ranking) if not pair.listed}
    assert any("acid-fast" in test for test in others.values())


def test_two_listed_causes_that_nothing_parts_are_named_together(facts: DiagnosisFacts) -> None:
    """A cause planted as an exact copy of another cannot be parted by any finding."""
    copy = dataclasses.replace(facts.conditions["TRICHO"], id="TRICHO2")
    conditions = dict(facts.conditions) | {"TRICHO2": copy}
    ordered = dict(sorted(conditions.items(), key=lambda item: not item[1].listed))
    tables = compile_tables(dataclasses.replace(facts, conditions=MappingProxyType(ordered)))
    ranking = rank(tables, Evidence.of({"m_disc_ring": "many"}))
    pairs = {(pair.condition, pair.other) for pair in looks_alike(ranking) if pair.listed}
    assert ("TRICHO", "TRICHO2") in pairs
