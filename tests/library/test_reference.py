"""The reference pages are built whole; the two that are kept are those of the present base."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tankside.cli.main import app
from tankside.library import load
from tankside.library.reference import IN_REPOSITORY, PAGES, reference_pages
from tankside.library.views import every_claim, summary

KEPT = Path(__file__).resolve().parents[2] / "docs" / "reference"
LINK = re.compile(r"\[[^\]]+\]\(([^)#\s]+)(?:#[^)]*)?\)")
IGNORED = (KEPT.parents[1] / ".gitignore").read_text(encoding="utf-8").splitlines()


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the folder that the command writes."""
    folder = tmp_path_factory.mktemp("pages") / "new"
    ran = CliRunner().invoke(app, ["knowledge", "reference", str(folder)])
    assert ran.exit_code == 0, ran.output
    return folder


def test_one_command_builds_every_page(built: Path) -> None:
    names = [name for name, _ in PAGES]
    assert sorted(path.name for path in built.iterdir()) == sorted(names)
    assert len(set(names)) == len(names)
    for name in names:
        text = (built / name).read_text(encoding="utf-8")
        assert text.startswith("# "), name
        assert len(text.splitlines()) > 20, name


def test_every_link_of_every_page_leads_to_a_page(built: Path) -> None:
    links = {
        (path.name, link)
        for path in built.iterdir()
        for link in LINK.findall(path.read_text(encoding="utf-8"))
    }
    assert len(links) >= len(PAGES)
    assert [(name, link) for name, link in links if not (built / link).is_file()] == []


def test_the_index_names_every_page(built: Path) -> None:
    front = (built / "README.md").read_text(encoding="utf-8")
    assert [name for name, _ in PAGES if name not in front] == []


def test_the_pages_that_are_kept_are_current(built: Path) -> None:
    stale = [
        name for name in IN_REPOSITORY if (KEPT / name).read_bytes() != (built / name).read_bytes()
    ]
    assert stale == [], "run: tankside knowledge reference docs/reference"
    for link in LINK.findall((KEPT / "README.md").read_text(encoding="utf-8")):
        assert link in IN_REPOSITORY, "a page that is not kept cannot be linked to"


def test_the_other_pages_stay_out_of_the_repository() -> None:
    rules = ["docs/reference/*", *(f"!docs/reference/{name}" for name in IN_REPOSITORY)]
    assert [rule for rule in rules if rule not in IGNORED] == []


def test_every_claim_and_source_is_printed() -> None:
    base = load()
    pages = reference_pages(base)
    printed = sum(
        line.startswith("| ") and not line.startswith("| key ")
        for name, text in pages.items()
        if name not in ("README.md", "sources.md", "differential.md", "entries.md", "codes.md")
        for line in text.splitlines()
    )
    assert printed == len(every_claim(base))
    for key in base.sources:
        assert f"| {key} |" in pages["sources.md"]


def test_every_likelihood_of_a_cause_is_printed_beside_the_baseline() -> None:
    base = load()
    page = reference_pages(base)["differential.md"]
    rows = [line for line in page.splitlines() if line.startswith("| ")]
    tables = 1 + len(base.conditions)
    cells = sum(len(cause.cells) for cause in base.conditions.values())
    assert len(rows) == tables + len(base.findings) + cells + 1 + len(base.findings)


def test_every_cause_says_its_risk_for_people_and_the_duty_to_report() -> None:
    base = load()
    page = reference_pages(base)["differential.md"]
    for cause in base.conditions.values():
        part = page.split(f"\n## {cause.id}: ")[1].split("\n## ")[0]
        assert f"Risk for people: {cause.zoonotic}. Duty to report: {cause.reportable}." in part


def test_the_counts_add_up_and_are_shown() -> None:
    base = load()
    counts = summary(base)
    total, by_provenance = counts["claims"], counts["by_provenance"]
    by_confidence = counts["by_confidence"]
    assert isinstance(by_provenance, Mapping)
    assert isinstance(by_confidence, Mapping)
    assert sum(by_provenance.values()) == total
    assert sum(by_confidence.values()) == total
    front = reference_pages(base)["README.md"]
    for word, count in by_provenance.items():
        assert f"| {word.replace('_', ' ')} | {count} |" in front
