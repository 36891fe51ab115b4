"""docs/json.md lists every key of the first level that these commands print, and no other."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from tests.scenarios.conftest import invoke

DOCS = Path(__file__).resolve().parents[2] / "docs" / "json.md"
OPENING = ["--name", "Sedge", "--keeper", "Ann Hill", "--water", "fresh", "--zone", "Etc/UTC"]


def documented(heading: str) -> set[str]:
    text = DOCS.read_text(encoding="utf-8")
    part = text.split(f"## `{heading} --json`", 1)[1].split("\n## ", 1)[0]
    return set(re.findall(r"^\| `(\w+)` \|", part, re.MULTILINE))


@pytest.mark.parametrize("words", [["findings", "scrape"], ["knowledge", "kinds", "koi"]])
def test_a_list_has_the_documented_keys(words: list[str]) -> None:
    answer = json.loads(invoke(*words, "--json").out)
    assert documented(" ".join(words[:-1])) == set(answer)
    page = DOCS.read_text(encoding="utf-8").split(f"## `{' '.join(words[:-1])} --json`")[1]
    (row, *_) = next(value for value in answer.values() if isinstance(value, list))
    assert set(row) <= set(re.findall(r"`(\w+)`", page.split("\n## ")[0]))


def test_the_ranking_of_a_case_has_the_documented_keys(tmp_path: Path) -> None:
    file = tmp_path / "sedge.jsonl"
    assert invoke("case", "new", str(file), *OPENING).code == 0
    answer = json.loads(invoke("differential", str(file), "--json").out)
    assert documented("differential") == set(answer)
