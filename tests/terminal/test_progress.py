"""Progress as lines of JSON: for who asks, on standard error, beside ``--json`` too."""

from __future__ import annotations

import json

import pytest

from tankside.terminal.progress import teller


@pytest.mark.parametrize("quiet", [True, False])
def test_each_step_is_one_object_when_asked(
    quiet: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TANKSIDE_PROGRESS", "ndjson")
    tell = teller(quiet=quiet)
    assert tell is not None
    for done in (1, 2, 3):
        tell("playing a course", done, 3)
    shown = capsys.readouterr()
    assert shown.out == ""
    assert [json.loads(line) for line in shown.err.splitlines()] == [
        {"progress": "playing a course", "done": done, "total": 3} for done in (1, 2, 3)
    ]


def test_without_it_nothing_is_told_beside_json(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("TANKSIDE_PROGRESS", raising=False)
    assert teller(quiet=True) is None
    assert teller(quiet=False) is not None
