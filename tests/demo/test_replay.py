"""The story writes only its own case, and gives the clock back."""

from __future__ import annotations

import os
from datetime import time
from pathlib import Path

import pytest

from tankside.demo import script
from tankside.demo.replay import NAME, Replay, time_of_the_story
from tankside.demo.tell import WIDTH, Teller
from tankside.errors import BadInput
from tankside.records.case_file import read_case


@pytest.fixture
def replay(tmp_path: Path) -> Replay:
    return Replay(tmp_path / script.FILE)


def test_every_entry_of_the_script_is_accepted(replay: Replay) -> None:
    with time_of_the_story():
        replay.open()
        replay.at(0, time(18, 20))
        for entries in (
            script.CALL_ENTRIES,
            script.TANK_ENTRIES,
            script.WATER_ENTRIES,
            script.EXAM_ENTRIES,
            script.CLOSER_ENTRIES,
            script.SCRAPE_ENTRIES,
            script.FIRST_COUNTS,
        ):
            replay.add(entries)
    view = read_case(replay.path).view()
    assert view.name == NAME
    assert set(view.stock) == {"platy", "danio", "bristlenose"}
    assert view.not_asked == () or all("second_volume" not in key for key in view.not_asked)


def test_an_earlier_telling_is_replaced(replay: Replay) -> None:
    with time_of_the_story():
        replay.open()
        replay.at(0, time(18, 0))
        replay.add(script.CALL_ENTRIES)
        replay.open()
    assert read_case(replay.path).version == 1


@pytest.mark.parametrize("content", ["mine\n", ""])
def test_another_file_of_that_name_is_left_alone(replay: Replay, content: str) -> None:
    replay.path.write_text(content, encoding="utf-8")
    with time_of_the_story(), pytest.raises(BadInput) as refused:
        replay.open()
    assert refused.value.code == "E-PATH-03"
    assert replay.path.read_text(encoding="utf-8") == content


@pytest.mark.parametrize("before", [None, "2026-01-01T00:00+00:00"])
def test_the_clock_is_given_back(
    replay: Replay, monkeypatch: pytest.MonkeyPatch, before: str | None
) -> None:
    if before is None:
        monkeypatch.delenv("TANKSIDE_NOW", raising=False)
    else:
        monkeypatch.setenv("TANKSIDE_NOW", before)
    with time_of_the_story():
        replay.at(3, time(18, 0))
        assert os.environ["TANKSIDE_NOW"] == "2026-03-21T18:00:00+00:00"
        replay.at(12, time(18, 0))
        assert os.environ["TANKSIDE_NOW"] == "2026-03-30T18:00:00+01:00"
    assert os.environ.get("TANKSIDE_NOW") == before


def test_a_long_line_is_broken_with_its_indent(capsys: pytest.CaptureFixture[str]) -> None:
    Teller().text("    " + "word " * 60)
    lines = [line for line in capsys.readouterr().out.split("\n") if line]
    assert max(map(len, lines)) <= WIDTH + 2
    assert lines[0].startswith("      word")
    assert lines[1].startswith("          word")


def test_a_silent_teller_says_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    voice = Teller(silent=True)
    voice.scene("x")
    voice.say("y")
    assert capsys.readouterr().out == ""
