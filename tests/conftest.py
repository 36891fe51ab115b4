"""The trust page: what was checked against something outside the project, and how it came out.

A test calls the ``trust_record`` fixture; ``pytest --write-trust`` writes ``docs/trust.md``.
Topics that this run did not touch keep the section they had.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

import pytest

from tankside.course.bodies.caution import Caution, Level
from tankside.course.safety.scene import CourseScene
from tankside.errors import Mistake

CODE = re.compile(r"[ES]-[A-Z0-9]+(-[A-Z0-9]+)*")
CLAIM = re.compile(r"[a-z]+(\.[a-z0-9_]+)+")
# What a caution of each code cannot do without: where to look, and on which claim it rests.
POINTS = {
    "E-DOSE-10": "body agent", "E-DOSE-11": "body agent hour claim", "E-DOSE-12": "body agent hour",
    "E-DOSE-13": "body agent claim", "E-DOSE-20": "body agent", "E-DOSE-21": "body hour claim",
    "E-DOSE-22": "body agent hour", "E-DOSE-23": "body agent hour claim",
    "E-DOSE-24": "body agent hour", "E-DOSE-25": "body agent hour claim",
    "E-DOSE-26": "body agent", "E-DOSE-27": "agent", "E-PROD-01": "agent", "E-PROD-03": "agent",
    "E-PROD-04": "agent claim", "S-PEOPLE": "agent claim", "S-HANDLING": "agent claim",
    "S-FOOD": "agent claim", "S-DRAIN": "agent claim", "S-OXYGEN": "body claim",
    "S-OXYGEN-ASK": "body claim", "S-AMMONIA": "body hour claim", "S-AMMONIA-ASK": "body claim",
    "S-AMMONIA-BOUND": "body claim", "S-NITRITE": "body hour claim", "S-PH": "body hour claim",
    "S-CO2": "body hour", "S-SALT-RATE": "body hour claim", "S-SALT-THERE": "body agent claim",
    "S-SALT-HOST": "body group agent claim", "S-HEAT-RATE": "body hour claim", "S-HEAT": "body",
    "S-COLD": "body", "S-TEMPERATURE-ASK": "body", "S-FILTER": "body agent hour claim",
    "S-CARBON": "body agent hour claim", "S-UV": "body agent hour claim",
    "S-BASE": "agent", "S-LIGHT": "body agent hour claim", "S-LOSSES": "body group claim",
}  # fmt: skip
TESTS = Path(__file__).resolve().parent
WHOLE = ("quantity", "course", "limits")
PAGE = TESTS.parent / "docs" / "trust.md"
VERDICTS = ("pass", "useless", "known disagreement", "fail")  # the worst of a row last
HEAD = """# What has been checked against something outside the project

Written by the test run (`pytest --write-trust`), never by hand. Each row says what was compared,
with which published source, how large the largest difference was, what was allowed, and how many
single checks stand behind it. "useless" means that the printed value lies inside an interval too
wide to say anything. Known disagreements are kept in sight. A check against a table says
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


@pytest.fixture(autouse=True)
def _nothing_is_said_by_halves(
    request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Hold every refusal and caution about numbers, amounts and limits to being whole.

    A refusal says what is wrong, what would be right and what to do next; a caution says what
    is the matter, why, and what to do instead, and points only to what there is.
    """
    if request.path.relative_to(TESTS).parts[0] not in WHOLE:
        return
    begin, warn = Mistake.__init__, Caution.__init__

    def refuse(mistake: Mistake, *args: object, **kwargs: object) -> None:
        begin(mistake, *args, **kwargs)
        assert CODE.fullmatch(mistake.code), mistake.code
        for said in (mistake.message, mistake.needed, mistake.next_step):
            assert isinstance(said, str), (mistake.code, mistake.message)
            assert said.strip(), (mistake.code, mistake.message)
        assert isinstance(mistake.field, str), (mistake.code, mistake.message)

    def caution(made: Caution, *args: object, **kwargs: object) -> None:
        warn(made, *args, **kwargs)
        assert isinstance(made.level, Level), made
        assert CODE.fullmatch(made.code), made
        for said in (made.words, made.why, made.what_instead):
            assert isinstance(said, str), made
            assert "None" not in said, made
        assert made.words, made
        assert made.what_instead, made
        for pointed in (made.claim_key, made.body, made.group, made.agent):
            assert isinstance(pointed, str), made
        assert made.hour is None or made.hour >= 0, made

    running = sys.modules["tankside.course.run"]
    found_in = running.check_all

    def check_all(scene: CourseScene) -> tuple[Caution, ...]:
        cautions: tuple[Caution, ...] = found_in(scene)
        for warning in cautions:
            points_right(warning, scene)
        return cautions

    monkeypatch.setattr(Mistake, "__init__", refuse)
    monkeypatch.setattr(Caution, "__init__", caution)
    monkeypatch.setattr(running, "check_all", check_all)


def points_right(caution: Caution, scene: CourseScene) -> None:
    """Hold a caution to pointing at the hour, water, animals, agent and claim it is about."""
    hours = len(next(iter(scene.where.values()))) if scene.where else None
    assert caution.hour is None or hours is None or caution.hour <= hours, caution
    assert not caution.body or caution.body in scene.bodies, caution
    assert not caution.group or caution.group in {group.id for group in scene.stock}, caution
    assert not caution.claim_key or CLAIM.fullmatch(caution.claim_key), caution
    if caution.agent and caution.claim_key.startswith("agent."):
        assert f".{caution.agent}" in caution.claim_key, caution
    for field in POINTS.get(caution.code, "").split():
        pointed = {"hour": caution.hour is not None, "claim": bool(caution.claim_key)}
        assert pointed.get(field, bool(getattr(caution, field, ""))), (field, caution)


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
def pytest_testnodedown(node: object) -> None:
    output = getattr(node, "workeroutput", {})
    config = node.config  # type: ignore[attr-defined]
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
        worst = max(group, key=lambda row: abs(row.difference) if is_number(row.difference) else 0)
        verdict = max((row.verdict for row in group), key=VERDICTS.index)
        notes = "; ".join(dict.fromkeys(row.note for row in group if row.note))
        cells = (compared, source, len(group), short(worst.difference), short(worst.tolerance))
        lines.append("| " + " | ".join(map(str, (*cells, verdict, notes))) + " |")
    return "\n".join(lines) + "\n"


def is_number(value: float | str) -> bool:
    return isinstance(value, int | float)


def short(value: float | str) -> str:
    return f"{value:.3g}" if is_number(value) else str(value)
