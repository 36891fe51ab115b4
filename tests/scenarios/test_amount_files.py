"""The routine and the hostile amounts can be typed and have the shape; no answer is judged here.

How the two files were written, and what may be changed in them, stands at their head.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
Item = dict[str, Any]

HERE = Path(__file__).resolve().parent
PLAYED = {"name": str, "present": str, "opening": list, "entries": list, "dose": list}
FILES = {
    "routine_amounts.json": (100, PLAYED | {"routine_because": str}),
    "hostile_amounts.json": (60, PLAYED | {"must": str, "why": str}),
}
MUST = ("stop", "less", "ask")
# What an answer says when words were misspelt; every other refusal is the program's to give.
MISTYPED = ("E-WORD", "E-CLI", "E-CASE", "E-NUM", "E-DUP", "E-PROD-02", "E-UNIT-05")


def items(file: str) -> list[Item]:
    items: list[dict[str, Any]] = json.loads((HERE / file).read_text(encoding="utf-8"))["items"]
    return items


EVERY = [pytest.param(item, id=item["name"]) for file in FILES for item in items(file)]


def words(value: object) -> bool:
    """Say whether this is a list of words, at least one and none of them empty."""
    return (
        isinstance(value, list)
        and len(value) > 0
        and all(isinstance(word, str) and word.strip() for word in value)
    )


@pytest.mark.parametrize("file", FILES)
def test_the_file_tells_how_it_was_written_and_who_may_change_it(file: str) -> None:
    filed = json.loads((HERE / file).read_text(encoding="utf-8"))
    assert set(filed) == {"about", "items"}
    assert words(filed["about"])
    assert "May be changed only" in " ".join(filed["about"])


@pytest.mark.parametrize("file", FILES)
def test_names_are_unique_and_the_number_of_items_is_the_promised_one(file: str) -> None:
    names = [item["name"] for item in items(file)]
    assert len(names) == FILES[file][0]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("file", FILES)
def test_every_item_has_the_shape(file: str) -> None:
    for item in items(file):
        shape = FILES[file][1]
        assert {key: type(value) for key, value in item.items()} == shape, item["name"]
        assert all(item[key].strip() for key, kind in shape.items() if kind is str), item["name"]
        assert words(item["opening"]), item["name"]
        assert words(item["dose"]), item["name"]
        assert item["dose"][0] in ("dose", "--agent"), item["name"]
        assert all(words(entry) for entry in item["entries"]), item["name"]
        assert item.get("must", "stop") in MUST, item["name"]


@pytest.mark.parametrize("item", EVERY)
def test_the_case_is_accepted_as_typed_and_the_question_is_spelt_right(
    item: Item, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", item["present"])
    file = str(tmp_path / "case.jsonl")
    opened = run("case", "new", file, *item["opening"])
    assert opened.code == 0, opened.err
    for entry in item["entries"]:
        added = run("case", "add", file, *entry)
        assert added.code == 0, (entry, added.err)
    asked = item["dose"]
    if asked[0] == "dose":
        answer = run("case", "add", file, *asked, "--json")
    else:
        answer = run("dose", "--case", file, *asked, "--json")
    if answer.code != 0:
        assert not answer.error["code"].startswith(MISTYPED), answer.error
