"""Print ``docs/test-papers.md`` from the register: ``python -m tests.experiments.papers_page``."""

from __future__ import annotations

from tests.experiments.papers_read import (
    CALIBRATION,
    FROZEN_ON,
    LISTED_IN,
    NEEDED_FOR,
    NOTHING_ASKED,
    TEST,
    UNUSABLE,
    Paper,
    asked_claims,
    counts,
    papers,
)

HEAD = f"""# The papers that test the life cycle

Frozen {FROZEN_ON}, from print alone, before any run. Made from the register beside the test
by `python -m tests.experiments.papers_page`; a test compares the two. Rule, fields and format:
`tests/experiments/papers/README.md`.

A paper tests the life cycle when what its question needs is printed in the part that was seen,
and no figure of it sets a figure of the program. What is missing is never filled from memory or
habit. A paper called unusable stays listed with what is missing; it counts neither as passed nor
as useless.
"""


def wanted() -> list[str]:
    rows = [f"| `{ask}` | {', '.join(needed)} |" for ask, needed in NEEDED_FOR.items() if needed]
    return ["## What each question needs", "", "| question | must be printed |", "|---|---|", *rows]


def totals() -> list[str]:
    number = counts()
    rows = []
    for table in LISTED_IN:
        cells = [number[(standing, table)] for standing in (TEST, UNUSABLE, CALIBRATION)]
        rows.append(f"| {table} | {' | '.join(map(str, cells))} |")
    sums = [len(papers(standing)) for standing in (TEST, UNUSABLE, CALIBRATION)]
    rows.append(f"| all | {' | '.join(map(str, sums))} |")
    return [
        "## How many",
        "",
        "| listed in | test | unusable | calibration |",
        "|---|---|---|---|",
        *rows,
    ]


def cell(text: str) -> str:
    return text.replace("|", "/").replace("_", "\\_")


def line(*cells: str) -> str:
    return f"| {' | '.join(cell(text) for text in cells)} |"


def tests() -> list[str]:
    rows = [
        line(p["id"], p["organism"], p["ask"], str(len(asked_claims(p))), p["seen"],
             p["citation"], p["also_in"], p["why"])
        for p in papers(TEST)
    ]  # fmt: skip
    head = "| id | organism | question | outcomes | seen | paper | also in | printed, not printed |"
    return ["## Test", "", head, "|---|---|---|---|---|---|---|---|", *rows]


def calibration() -> list[str]:
    rows = [line(p["id"], p["calibrates"], p["citation"], p["why"]) for p in papers(CALIBRATION)]
    return ["## Calibration", "", "| id | used for | paper | why |", "|---|---|---|---|", *rows]


def lacking(paper: Paper) -> str:
    if paper["ask"] == NOTHING_ASKED:
        return "a question of the life cycle in closed water"
    return paper["missing"].replace(" ", ", ").replace("second_source", "second source")


def unusable() -> list[str]:
    rows = [line(p["id"], lacking(p), p["citation"], p["why"]) for p in papers(UNUSABLE)]
    return ["## Unusable", "", "| id | missing | paper | why |", "|---|---|---|---|", *rows]


def page() -> str:
    """Return the page."""
    parts = [wanted(), totals(), tests(), calibration(), unusable()]
    return "\n".join([HEAD, *("\n".join(part) + "\n" for part in parts)])


if __name__ == "__main__":
    print(page(), end="")
