"""``tankside bench commands``: its shape, and bounds of whole commands against an empty start."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.shaped import is_shaped

from tankside.bench import command_speed, commands
from tankside.bench.command_speed import EMPTY, MEASURED, measure


def test_it_prints_the_documented_figures(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    times = {EMPTY: 0.02, "differential": 0.8}
    monkeypatch.setattr(command_speed, "measure", lambda rounds: times)
    commands.command(rounds=1, as_json=True)
    answer = json.loads(capsys.readouterr().out)
    is_shaped(answer, "figures")
    empty, whole = answer["figures"]
    assert empty == {
        "name": EMPTY, "value": 0.02, "unit": "s", "reference": "", "ratio": None
    }  # fmt: skip
    assert (whole["reference"], whole["ratio"]) == (EMPTY, pytest.approx(40))


def test_a_command_that_fails_is_not_measured(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError, match="E-PATH"):
        command_speed._played(tmp_path, ("differential", "no.jsonl"))


@pytest.mark.slow
def test_whole_commands_stay_within_their_bounds() -> None:
    """Bounds in empty starts (0.012 to 0.02 s): a third above what was measured."""
    times = measure(4)
    assert set(times) == {EMPTY, *MEASURED, "differential, nothing kept"}
    bounds = {"differential": 110, "case add": 50, "dose": 100, "today": 115}
    over = {name: times[name] / times[EMPTY] for name in bounds}
    assert {name: ratio for name, ratio in over.items() if ratio > bounds[name]} == {}
