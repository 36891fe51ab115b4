"""The register of test papers is whole, closed, frozen, and no paper both tests and calibrates."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from tests.experiments.papers_page import page
from tests.experiments.papers_read import (
    CALIBRATES,
    CALIBRATION,
    COLUMNS,
    LISTED_IN,
    NEEDED_FOR,
    OTHER_TABLES,
    PAPERS,
    PRINTABLE,
    TEST,
    Paper,
    asked_claims,
    coded,
    frozen_papers,
    lacks,
    paper_hashes,
    papers,
    register,
    rule_of,
    standing_of,
)
from tests.experiments.setups_read import EXPERIMENTS, HERE, checks

from tankside.library.schema_check import validator
from tankside.library.units import POSSIBLE, is_known

ALL = register()
TESTS = papers(TEST)
ORGANISMS = sorted((EXPERIMENTS.parent / "organisms").glob("*.toml"))
DOCS = HERE.parents[1] / "docs"
SPLIT_BY_THE_FITS = frozenset(
    {"e02", "e05", "e55", "e56", "e77", "e98", "e99", "e104", "e107", "ho_03", "ho_09"}
)


def by_id(paper: Paper) -> str:
    return paper["id"]


def sources(paper: Paper) -> set[str]:
    return set(paper["source"].split())


def figures_of_the_program() -> set[str]:
    """Return the works that set a figure of an organism's file."""
    cited: set[str] = set()
    for path in ORGANISMS:
        for claim in tomllib.loads(path.read_text(encoding="utf-8")).get("claim", []):
            cited |= {claim.get("source", ""), *claim.get("further", [])}
    return cited - {""}


def both_at_once(rows: list[Paper], cited: set[str]) -> list[str]:
    """Return test papers that calibrate: a work shared with a calibration row or a figure."""
    calibrating = {s for row in rows if row["standing"] == CALIBRATION for s in sources(row)}
    tested = [row for row in rows if row["standing"] == TEST]
    return [row["id"] for row in tested if sources(row) & (calibrating | cited)]


def test_nothing_was_edited_since_it_was_frozen() -> None:
    assert paper_hashes() == frozen_papers(), "a paper was changed after the freeze"


def test_the_columns_are_closed() -> None:
    assert all(tuple(row) == COLUMNS for row in ALL)


def test_ids_citations_and_works_stand_once() -> None:
    works = [source for row in ALL for source in sources(row)]
    for names in ([r["id"] for r in ALL], [r["citation"] for r in ALL], works):
        assert sorted(set(names)) == sorted(names)


@pytest.mark.parametrize("row", ALL, ids=by_id)
def test_a_row_uses_the_closed_words(row: Paper) -> None:
    assert row["ask"] in NEEDED_FOR
    assert row["listed_in"] in LISTED_IN
    assert set(row["printed"].split()) <= PRINTABLE
    assert set(row["calibrates"].split()) <= CALIBRATES
    assert set(row["also_in"].split()) <= OTHER_TABLES
    assert row["kin"] in {"", *(path.stem for path in ORGANISMS)}
    assert all(row[name] for name in ("seen", "organism", "citation", "why"))


@pytest.mark.parametrize("row", ALL, ids=by_id)
def test_the_standing_follows_from_what_is_printed(row: Paper) -> None:
    assert row["standing"] == standing_of(row)
    assert tuple(row["missing"].split()) == lacks(row)
    assert bool(row["second_source"]) == ("second_source" in row["printed"].split())


def test_a_paper_without_its_temperature_is_not_a_test_of_times() -> None:
    row = next(row for row in TESTS if row["ask"] == "stage_time")
    without = " ".join(word for word in row["printed"].split() if word != "temperature")
    assert standing_of(row | {"printed": without}) == "unusable"


def test_no_paper_both_tests_and_calibrates() -> None:
    assert both_at_once(ALL, figures_of_the_program()) == []


def test_a_figure_taken_from_a_test_paper_is_noticed() -> None:
    row = next(row for row in TESTS if row["source"])
    assert both_at_once(ALL, {row["source"]}) == [row["id"]]


def test_every_experiment_of_the_library_has_a_standing() -> None:
    assert {path.stem for path in EXPERIMENTS.glob("*.toml")} <= {row["id"] for row in ALL}


def test_the_papers_of_the_fits_that_were_tests_are_calibration() -> None:
    run = {c["experiment"] for c in checks() if c["role"] == "mechanistic"}
    fitted = {r["id"] for r in ALL if {"death", "spread"} & set(r["calibrates"].split())}
    assert run & fitted == SPLIT_BY_THE_FITS


def test_there_are_enough_tests_and_enough_new_ones() -> None:
    assert len(TESTS) >= 25
    assert len([row for row in TESTS if row["listed_in"] == "new"]) >= 8


@pytest.mark.parametrize("row", TESTS, ids=by_id)
def test_a_test_paper_is_coded_by_the_published_schema(row: Paper) -> None:
    record = coded(row)
    assert list(validator("experiment").iter_errors(record)) == []
    assert record["experiment"]["id"] == row["id"]
    keys = [claim["key"] for claim in record["claim"]]
    assert keys == sorted(set(keys))
    assert {claim["source"] for claim in record["claim"]} == sources(row)
    assert asked_claims(row)


def odd(claim: dict[str, Any]) -> list[str]:
    """Return what is wrong with the numbers of an outcome."""
    unit = claim.get("unit", "")
    numbers = [claim[k] for k in ("low", "value", "high") if isinstance(claim.get(k), int | float)]
    wrong = [] if is_known(unit) else [f"unit {unit}"]
    if numbers and not unit:
        wrong.append("no unit")
    if numbers != sorted(numbers):
        wrong.append("low, value and high are not in order")
    least, most = POSSIBLE.get(unit, (0, 1e9))
    if any(not least <= number <= most for number in numbers):
        wrong.append("out of the possible range")
    return wrong


@pytest.mark.parametrize("row", TESTS, ids=by_id)
def test_every_outcome_has_units_conditions_and_a_rule(row: Paper) -> None:
    for claim in coded(row)["claim"]:
        assert odd(claim) == [], claim["key"]
        assert claim["evidence"]
        assert claim["conditions"]
    assert {rule_of(c) for c in asked_claims(row)} <= {"event", "points", "time", "factor"}


def test_a_share_above_all_and_a_turned_range_are_noticed() -> None:
    assert odd({"value": 120, "unit": "%"}) == ["out of the possible range"]
    assert odd({"low": 9, "high": 3, "unit": "d"}) == ["low, value and high are not in order"]


def test_every_coded_paper_here_is_a_test() -> None:
    assert {path.stem for path in PAPERS.glob("*.toml")} <= {row["id"] for row in TESTS}


def test_the_page_is_that_of_the_register() -> None:
    assert (DOCS / "test-papers.md").read_text(encoding="utf-8") == page(), (
        "write it anew: python -m tests.experiments.papers_page > docs/test-papers.md"
    )
