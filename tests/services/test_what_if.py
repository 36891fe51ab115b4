"""The invented tank: what is set bears on what comes, it is no case, and amounts keep cautions."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from tankside.errors import BadInput
from tankside.errors.code import Level
from tankside.library import load
from tankside.lifecycle import stage_durations
from tankside.report.teaching.what_if import asked_of, sliders, tried_shown
from tankside.services.what_if import LIMITS, ORGANISM, TryOut, try_out

USUAL = TryOut()


def test_the_stages_are_those_of_the_engine_at_the_temperature_set() -> None:
    for temperature_c in (15.0, 25.0):
        answer = try_out(replace(USUAL, temperature_c=temperature_c), 16)
        assert answer.durations == stage_durations(load().organisms[ORGANISM], temperature_c)


def test_more_salt_clears_more_runs() -> None:
    """Salt stops the release of young from the cyst: Mifsud and Rowland 2008, as on file."""
    without, with_salt = (
        try_out(replace(USUAL, salt_g_l=salt)).days[-1].clear.share for salt in (0.0, 3.0)
    )
    assert with_salt > without + 0.2


def test_missed_days_are_left_out_of_the_work_and_nothing_else() -> None:
    usual, missed = (try_out(replace(USUAL, missed_d=days), 16) for days in (0.0, 5.0))
    assert set(usual.siphoned_d) - set(missed.siphoned_d) == {
        day for day in usual.siphoned_d if 6 <= day < 11
    }
    assert set(missed.siphoned_d) < set(usual.siphoned_d)
    rare = try_out(replace(USUAL, every_d=7.0), 16)
    assert rare.siphoned_d == (1, 8, 15, 22, 29)


def test_rough_and_fine_agree_within_their_chance() -> None:
    rough, fine = (try_out(USUAL, runs).days[-1].clear for runs in (64, 512))
    apart = abs(rough.share - fine.share)
    assert apart < 3 * (rough.standard_error**2 + fine.standard_error**2) ** 0.5


def test_the_same_setting_gives_the_same_answer() -> None:
    assert try_out(USUAL, 16) == try_out(USUAL, 16)


@pytest.mark.parametrize("key", LIMITS)
@pytest.mark.parametrize("beyond", [-1, 1])
def test_what_no_slider_reaches_is_refused(key: str, beyond: int) -> None:
    edge = LIMITS[key][0 if beyond < 0 else 1]
    with pytest.raises(BadInput, match="cannot be set") as refused:
        try_out(TryOut(**{key: edge + beyond}), 16)
    assert refused.value.code == "E-LEARN-02"


def test_half_a_day_between_siphonings_is_refused() -> None:
    with pytest.raises(BadInput, match="cannot be set"):
        try_out(replace(USUAL, every_d=1.5), 16)


def test_nothing_is_written_anywhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    try_out(USUAL, 16)
    assert list(tmp_path.iterdir()) == []


def test_amounts_stand_beside_cautions_and_none_stands_where_the_course_is_blocked() -> None:
    answer = try_out(USUAL, 16)
    shown = tried_shown(answer)
    assert len(shown.steps) == 3
    assert all("g" in step for step in shown.steps)
    assert any("label" in words for level, words in shown.cautions if level == "CARE")
    for level in Level:
        caution: Any = SimpleNamespace(level=level, words="Words.", what_instead="Do.")
        stopped = tried_shown(replace(answer, cautions=(caution,)))
        assert bool(stopped.steps) == (level is not Level.BLOCKED)
        assert (level.value.upper(), "Words. Do.") in stopped.cautions


def test_the_sliders_stand_where_they_were_set() -> None:
    asked = asked_of({"temperature_c": "18.5", "missed_d": "4"})
    assert asked == TryOut(temperature_c=18.5, missed_d=4)
    assert {s.key: s.value for s in sliders(asked)} == {
        "temperature_c": "18.5", "salt_g_l": "2", "every_d": "2", "missed_d": "4",
    }  # fmt: skip
    with pytest.raises(BadInput):
        asked_of({"salt_g_l": "a lot"})
