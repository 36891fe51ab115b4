"""The trust page: what was checked against something outside the project, and how it came out.

A test calls the ``trust_record`` fixture; ``pytest --write-trust`` writes ``docs/trust.md``.
Topics that this run did not touch keep the section they had.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

pytest_plugins = ("tests.codes_made",)
TESTS = Path(__file__).resolve().parent
PAGE = TESTS.parent / "docs" / "trust.md"
# the worst of a row last; the first three say that nothing was tested
VERDICTS = ("calibration", "unusable", "unknown", "pass", "useless", "known disagreement", "fail")
HEAD = """# What has been checked against something outside the project

Written by the test run (`pytest --write-trust`), never by hand. Each row says what was compared,
with which published source, how large the largest difference was, what was allowed, and how many
single checks stand behind it. "useless" means that the printed value lies inside an interval too
wide to say anything. Known disagreements are kept in sight. "calibration" sets figures of the
program and tests nothing; "unusable" lacks its set-up in print; "unknown" is what the program says
it does not know: none of the three is passed. A check against a table says
that the formula or number is as printed; it does not say that the print is right for every tank.
"""


@dataclass(frozen=True)
class TrustRow:
    topic: str
    source: str
    compared: str
    difference: float | str
    tolerance: float | str
    verdict: str
    note: str = ""


ROWS = pytest.StashKey[list[TrustRow]]()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--write-trust", action="store_true", help="write docs/trust.md from this run")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[ROWS] = []
    # What commands keep for the user goes into a folder of this run.
    folder = TemporaryDirectory(prefix="tankside-data")
    config.add_cleanup(folder.cleanup)
    os.environ["XDG_DATA_HOME"] = folder.name


@pytest.fixture
def trust_record(request: pytest.FixtureRequest) -> Callable[..., None]:
    """Return a function that records one check for the trust page."""

    def record(
        topic: str,
        source: str,
        compared: str,
        difference: float | str,
        tolerance: float | str,
        verdict: str,
        note: str = "",
    ) -> None:
        assert verdict in VERDICTS, f"verdict must be one of {VERDICTS}"
        row = TrustRow(topic, source, compared, difference, tolerance, verdict, note)
        request.config.stash[ROWS].append(row)

    return record


def pytest_sessionfinish(session: pytest.Session) -> None:
    rows = session.config.stash[ROWS]
    if hasattr(session.config, "workeroutput"):
        session.config.workeroutput["trust"] = [asdict(row) for row in rows]
    elif session.config.getoption("--write-trust") and rows:
        old = PAGE.read_text(encoding="utf-8") if PAGE.exists() else ""
        PAGE.write_text(page(rows, old), encoding="utf-8")


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    output = getattr(node, "workeroutput", {})
    config = node.config
    config.stash[ROWS].extend(TrustRow(**row) for row in output.get("trust", []))


def page(rows: list[TrustRow], old: str) -> str:
    """Return the page: sections of this run, and the old ones of topics it did not touch."""
    sections = dict(sections_of(old))
    for topic in {row.topic for row in rows}:
        sections[topic] = section([row for row in rows if row.topic == topic])
    return HEAD + "".join(f"\n## {topic}\n\n{sections[topic]}" for topic in sorted(sections))


def sections_of(text: str) -> Iterator[tuple[str, str]]:
    for block in text.split("\n## ")[1:]:
        topic, _, body = block.partition("\n\n")
        yield topic, body


def section(rows: list[TrustRow]) -> str:
    """Return one table; rows with the same source and thing compared are told as one."""
    groups: dict[tuple[str, str], list[TrustRow]] = {}
    for row in rows:
        groups.setdefault((row.source, row.compared), []).append(row)
    lines = [
        "| compared | source | checks | largest difference | allowed | verdict | note |",
        "|---|---|---|---|---|---|---|",
    ]
    for (source, compared), group in sorted(groups.items()):
        worst = max(group, key=size)
        verdict = max((row.verdict for row in group), key=VERDICTS.index)
        notes = "; ".join(dict.fromkeys(row.note for row in group if row.note))
        cells = (compared, source, len(group), short(worst.difference), short(worst.tolerance))
        lines.append("| " + " | ".join(map(str, (*cells, verdict, notes))) + " |")
    return "\n".join(lines) + "\n"


def size(row: TrustRow) -> float:
    """Return how large a difference is; one told in words counts as none."""
    return 0 if isinstance(row.difference, str) else abs(row.difference)


def short(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.3g}"
