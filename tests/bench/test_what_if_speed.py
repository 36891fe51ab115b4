"""The benchmark of the invented tank plays every corner of its sliders and tells the slowest."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from tankside.bench import what_if_speed
from tankside.bench.what_if_speed import SETTINGS, measure
from tankside.cli.main import app
from tankside.report.teaching.what_if import TriedShown
from tankside.services.what_if import LIMITS, TryOut


def test_the_settings_reach_far_into_the_sliders() -> None:
    assert len(SETTINGS) == 12
    for key, (least, most) in LIMITS.items():
        values = {getattr(setting, key) for setting in SETTINGS}
        assert max(values) - min(values) >= (most - least) / 2


def test_the_slowest_setting_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    slow, played = SETTINGS[4], []

    def tried(asked: TryOut, fineness: str) -> TriedShown:
        played.append((asked, fineness))
        sum(range(2_000_000 if asked == slow else 1))
        return TriedShown("", "", "", "", "", "", (), (), ())

    monkeypatch.setattr(what_if_speed, "tried", tried)
    rough, fine = measure(1)
    assert (rough.name, fine.name) == ("rough", "fine")
    assert rough.setting == fine.setting
    assert rough.setting.startswith(f"{slow.temperature_c:g} C, {slow.salt_g_l:g} g/L")
    assert len(played) == 1 + 2 * len(SETTINGS)


def test_the_command_prints_what_is_allowed_beside_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(what_if_speed, "SETTINGS", SETTINGS[:1])
    said = CliRunner().invoke(app, ["bench", "what-if", "--rounds", "1"])
    assert said.exit_code == 0
    assert said.output.count("allowed on two idle cores") == 2
