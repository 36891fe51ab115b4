"""The trust page names every golden table, and golden tables name their source."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

HOME = Path(__file__).resolve().parents[2]
GOLDEN = sorted((HOME / "tests" / "golden").glob("*.csv"))


def topics(page: str) -> set[str]:
    return set(re.findall(r"^## (\S+)$", page, flags=re.MULTILINE))


def missing(tables: list[str], page: str) -> list[str]:
    return [table for table in tables if table not in topics(page)]


def test_every_golden_table_is_on_the_trust_page() -> None:
    page = (HOME / "docs" / "trust.md").read_text(encoding="utf-8")
    absent = missing([path.stem for path in GOLDEN], page)
    assert absent == [], (
        "record these golden tables with trust_record and run the tests once with --write-trust"
    )


def test_a_missing_topic_is_noticed() -> None:
    assert missing(["tides"], "# Page\n\n## doses\n") == ["tides"]


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.name)
def test_golden_table_begins_with_its_citation(path: Path) -> None:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith("# "), "start the table with '# ' lines that cite the source"
