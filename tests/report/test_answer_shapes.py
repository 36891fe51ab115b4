"""Every JSON answer has a published schema with a version, and real answers are of that shape."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NotRequired, TypedDict

import jsonschema
import pytest
import typer
from tests.hostile_pictures import jpeg
from tests.scenarios.conftest import Ran, invoke
from tests.services.salt_case import salt_case
from tests.shaped import is_shaped

from tankside.cli.main import app
from tankside.records.journal.place import VARIABLE
from tankside.report.shapes import publish
from tankside.report.shapes.catalogue import ANSWERS, AnswerShape
from tankside.report.shapes.json_schema import answer_schema, schema_of
from tankside.services import records

ROOT = Path(__file__).resolve().parents[2]
PUBLISHED = ROOT / "docs" / "schema" / "answers"
PAGE = ROOT / "docs" / "json.md"
PRESENT = "2026-03-02T18:00+00:00"
LATER = "2026-10-31T18:00+00:00"
OPENING = ["--name", "Sedge", "--keeper", "Ann Hill", "--water", "fresh", "--zone", "Etc/UTC"]
SALT = ["--agent", "salt", "--strength", "2 g/L", "--volume", "173 L", "--second-volume", "175 L",
        "--label", "pure", "--scale", "1 g", "--animal", "cardinal tetra"]  # fmt: skip
LOOKED_UP = [
    ("findings", ["findings", "spot"]),
    ("kinds", ["knowledge", "kinds", "koi"]),
    ("claims", ["knowledge", "show", "agent.formalin"]),
    ("source", ["knowledge", "show", "mifsud_rowland_2008"]),
    ("rivals", ["knowledge", "rivals", "agent.sodium_chloride.dose.prolonged"]),
    ("sources", ["knowledge", "sources"]),
    ("counts", ["knowledge", "sources", "--summary"]),
    ("practice", ["knowledge", "practice"]),
    ("completion", ["completion", "fish"]),
    ("sheets", ["sheet"]),
    ("sheet", ["sheet", "keepers/ich"]),
    ("dose", ["dose", *SALT]),
    ("water", ["water", "ammonia", "--temperature", "25 C", "--ph", "8", "--total", "1 mg/L as N"]),
]  # fmt: skip
ELSEWHERE = {
    "waiting": "tests/web/test_interface.py",
    "letter": "tests/web/test_interface.py",
    "plan": "tests/scenarios/conftest.py",
    "chosen": "tests/scenarios/conftest.py",
    "forecast": "tests/demo/test_story.py",
    "follow": "tests/demo/test_story.py",
    "day-card": "tests/demo/test_story.py",
    "demo": "tests/demo/test_story.py",
    "feed": "tests/scenarios/test_feed_and_tools_typed.py",
    "equipment": "tests/scenarios/test_feed_and_tools_typed.py",
    "printed-dates": "tests/scenarios/test_forecast_typed.py",
    "serve": "tests/cli/test_serve.py",
    "rank-scores": "tests/cli/test_differential.py",
    "figures": "tests/bench/test_command_speed.py",
    "lint": "tests/scenarios/test_this_practice_typed.py",
}
"""Answers that take long, or a server, and are held to their shape where they are made anyway."""
HELD: set[str] = set()


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    folder = tmp_path_factory.mktemp("shapes")
    (folder / "practice").mkdir()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        patch.setenv(VARIABLE, str(folder / "journal.db"))
        patch.setenv("TANKSIDE_PRACTICE", str(folder / "practice"))
        yield folder


def held(name: str, ran: Ran) -> Any:
    is_shaped(ran.answer, name)
    HELD.add(name)
    return ran.answer


@pytest.mark.parametrize(("name", "words"), LOOKED_UP, ids=[name for name, _ in LOOKED_UP])
def test_what_is_looked_up_has_its_shape(place: Path, name: str, words: list[str]) -> None:
    held(name, invoke(*words, "--json"))


def test_a_case_has_its_shapes_from_opening_to_care(place: Path) -> None:
    file, picture = str(place / "sedge.jsonl"), place / "a.jpg"
    picture.write_bytes(jpeg())
    held("added", invoke("case", "new", file, *OPENING, "--json"))
    for words in (
        ["system", "inside-length=100 cm", "inside-width=40 cm", "water-height=40 cm"],
        ["stock", "name=platy", "count=6", "length=4 cm"],
        ["water", "temperature=25 C", "ph=7.4"],
        ["finding", "spots_visible=yes", "flashing=frequent"],
        ["count", "fish=worst", "group=platy", "spots=9"],
        ["event", "kind=other", "text=a door slammed"],
        ["death", "group=platy", "count=1"],
        ["diagnosis", "condition=ICH", "certainty=suspected"],
        ["note", "seen at dusk"],
    ):
        added = invoke("case", "add", file, *words, "--json")
        if added.code == 0:
            held("added", added)
    held("added", invoke("case", "attach", file, str(picture), "--json"))
    shown = held("case", invoke("case", "show", file, "--json"))
    assert shown["systems"]
    assert shown["stock"]
    assert shown["findings"]
    assert shown["counts"]
    held("photos", invoke("case", "photos", file, "--json"))
    held("case-list", invoke("case", "list", str(place), "--json"))
    held("exported-lines", invoke("case", "export", file, "--json"))
    copy = str(place / "copy.jsonl")
    held("exported-file", invoke("case", "export", file, "--to", copy, "--json"))
    held("imported", invoke("case", "import", copy, str(place / "taken.jsonl"), "--json"))
    held("case-differential", invoke("differential", file, "--json"))
    held("early", invoke("differential", file, "--early", "--json"))
    held("care", invoke("today", file, "--json"))
    refused = invoke("case", "add", file, "water", "ph=x", "--json")
    is_shaped({"error": refused.error}, "error")
    HELD.add("error")


def test_findings_without_a_case_have_their_shape(place: Path) -> None:
    (place / "f.json").write_text('{"findings": {"spots_visible": "yes"}}', encoding="utf-8")
    held("differential", invoke("differential", "--findings", str(place / "f.json"), "--json"))


def test_the_journal_has_its_shapes(
    place: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", LATER)
    salt_case(tmp_path)
    held("transfer", invoke("records", "import", str(tmp_path), "--json"))
    held("journal-list", invoke("records", "list", "--json"))
    held("due", invoke("records", "due", "--days", "366", "--json"))
    held("statistics", invoke("records", "statistics", "--json"))
    held("people", invoke("records", "people", "--json"))
    for name in ("out", "t"):
        (tmp_path / name).mkdir()
    held("transfer", invoke("records", "export", str(tmp_path / "out"), "--json"))
    held("tables", invoke("records", "export", str(tmp_path / "t"), "--tables", "--json"))
    held("verified", invoke("records", "verify", "--json"))
    held("backup", invoke("records", "backup", str(tmp_path / "b.db"), "--json"))
    held("rebuilt", invoke("records", "rebuild", "--json"))
    held("migrated", invoke("records", "migrate", "--json"))


def test_a_grant_has_its_shape(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(records, "grant", lambda role, journal: f"postgresql://host/{journal}")
    granted = held("granted", invoke("records", "grant", "desk", "--journal", "db", "--json"))
    assert granted == {"role": "desk", "journal": "postgresql://host/db"}


def test_reference_pages_have_their_shape(place: Path) -> None:
    held("pages-written", invoke("knowledge", "reference", str(place / "pages"), "--json"))


def test_every_answer_is_held_to_its_shape_somewhere() -> None:
    if len(HELD) < len(LOOKED_UP):
        pytest.skip("run alone")
    assert set(ANSWERS) - HELD <= set(ELSEWHERE)
    for name in set(ANSWERS) - HELD:
        text = (ROOT / ELSEWHERE[name]).read_text(encoding="utf-8")
        assert "is_shaped" in text, name
        assert f'"{name}"' in text, name


@pytest.mark.parametrize("name", ANSWERS)
def test_the_published_schema_is_the_declared_one(name: str) -> None:
    answer = ANSWERS[name]
    text = (PUBLISHED / publish.file_name(name, answer.version)).read_text(encoding="utf-8")
    schema = answer_schema(name, answer.shape, answer.version)
    jsonschema.Draft202012Validator.check_schema(schema)
    assert text == publish.schema_text(schema)
    for older in range(1, answer.version):
        assert (PUBLISHED / publish.file_name(name, older)).exists()


def test_nothing_else_is_published_and_the_page_names_each() -> None:
    names = {
        publish.file_name(name, version)
        for name, answer in ANSWERS.items()
        for version in range(1, answer.version + 1)
    }
    assert {path.name for path in PUBLISHED.iterdir()} == names
    page = PAGE.read_text(encoding="utf-8")
    assert [name for name in ANSWERS if f"`{name}`" not in page] == []


def test_every_command_has_its_answer() -> None:
    """A command that is new has to say which answer it prints."""
    named = {door.partition(" --")[0] for answer in ANSWERS.values() for door in answer.given_by}
    group = typer.main.get_command(app)
    assert [path for path in leaves(group, "") if path not in named] == []


def leaves(command: Any, path: str) -> Iterator[str]:
    if path in ("water", "bench"):  # each of their commands prints one shape
        yield path
    elif hasattr(command, "list_commands"):
        for below in command.list_commands(None):
            yield from leaves(command.get_command(None, below), f"{path} {below}".strip())
    else:
        yield path


class CupJson(TypedDict):
    """A planted part."""

    litres: float


class PotJson(TypedDict):
    """A planted answer."""

    name: str
    cups: list[CupJson]
    lid: NotRequired[str | None]


class MorePotJson(PotJson):
    """The same with a key more."""

    handle: str


class OtherPotJson(TypedDict):
    """The same with a key of another type, one that may be missing, and one gone."""

    name: NotRequired[str]
    cups: list[str]


@pytest.fixture
def planted(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setattr(publish, "ANSWERS", {"pot": AnswerShape(PotJson, ("pot",))})
    assert publish.publish(tmp_path) == []
    return tmp_path


def test_a_key_may_be_added_to_a_published_version(
    planted: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    MorePotJson.__name__ = "PotJson"
    monkeypatch.setattr(publish, "ANSWERS", {"pot": AnswerShape(MorePotJson, ("pot",))})
    assert publish.publish(planted) == []
    assert "handle" in (planted / "pot.v1.json").read_text(encoding="utf-8")


def test_a_changed_key_needs_a_new_version(planted: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = (planted / "pot.v1.json").read_text(encoding="utf-8")
    OtherPotJson.__name__ = "PotJson"
    monkeypatch.setattr(publish, "ANSWERS", {"pot": AnswerShape(OtherPotJson, ("pot",))})
    assert publish.publish(planted) == [
        "pot.v1.json: CupJson is gone",
        "pot.v1.json: PotJson.cups has another type",
        "pot.v1.json: PotJson.lid is gone",
        "pot.v1.json: PotJson.name is not always there",
    ]
    assert (planted / "pot.v1.json").read_text(encoding="utf-8") == before
    monkeypatch.setattr(publish, "ANSWERS", {"pot": AnswerShape(OtherPotJson, ("pot",), 2)})
    assert publish.publish(planted) == []
    assert (planted / "pot.v1.json").read_text(encoding="utf-8") == before
    assert (planted / "pot.v2.json").exists()


def test_the_command_says_what_it_refuses(tmp_path: Path) -> None:
    broken = answer_schema("early", ANSWERS["early"].shape, 1)
    broken["$defs"]["EarlyJson"]["properties"]["keep_in_mind"] = {"type": "string"}
    (tmp_path / "early.v1.json").write_text(publish.schema_text(broken), encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-m", "tankside.report.shapes.publish", str(tmp_path)],
        capture_output=True, text=True, check=False, env=dict(os.environ),
    )  # fmt: skip
    assert ran.returncode == 2
    assert ran.stderr == "early.v1.json: EarlyJson.keep_in_mind has another type\n"
    assert [path.name for path in tmp_path.iterdir()] == ["early.v1.json"]


def test_a_shape_is_closed_only_for_tests_and_holds_plain_json_alone() -> None:
    schema = answer_schema("pot", PotJson, 3, closed=True)
    whole = {"name": "a", "cups": [{"litres": 1}], "lid": None}
    check = jsonschema.Draft202012Validator(schema)
    assert check.is_valid(whole)
    assert json.loads(json.dumps(schema))["title"] == "pot, version 3"
    for wrong in ({"name": "a"}, whole | {"more": 1}, whole | {"cups": [{}]}, whole | {"lid": 1}):
        assert not check.is_valid(wrong)
    assert jsonschema.Draft202012Validator(answer_schema("pot", PotJson, 3)).is_valid(
        whole | {"more": 1}
    )
    with pytest.raises(TypeError, match="no answer may hold"):
        schema_of(set[str], refs="#/", parts={})
