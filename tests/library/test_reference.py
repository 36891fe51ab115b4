"""The printed reference pages are those of the present base."""

from __future__ import annotations

from pathlib import Path

from tankside.library import load
from tankside.library.reference import reference_pages
from tankside.library.views import every_claim, summary

PAGES = Path(__file__).resolve().parents[2] / "docs" / "reference"


def test_the_pages_are_current() -> None:
    stale = [
        name
        for name, text in reference_pages(load()).items()
        if not (PAGES / name).exists() or (PAGES / name).read_text(encoding="utf-8") != text
    ]
    assert stale == [], "run: tankside knowledge reference docs/reference"


def test_every_claim_and_source_is_printed() -> None:
    base = load()
    pages = reference_pages(base)
    printed = sum(
        line.startswith("| ") and not line.startswith("| key ")
        for name, text in pages.items()
        if name not in ("README.md", "sources.md", "differential.md", "codes.md")
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
    assert len(rows) == tables + len(base.findings) + cells


def test_the_counts_add_up_and_are_shown() -> None:
    base = load()
    counts = summary(base)
    total = counts["claims"]
    assert sum(counts["by_provenance"].values()) == total
    assert sum(counts["by_confidence"].values()) == total
    front = reference_pages(base)["README.md"]
    for word, count in counts["by_provenance"].items():
        assert f"| {word.replace('_', ' ')} | {count} |" in front
