"""The loop is compiled once, says so, and is fetched afterwards."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

import pytest

from tankside.lifecycle.kernel import starter
from tankside.lifecycle.kernel.compiled import Made

PREPARE = """
from tankside import lifecycle
lifecycle.prepare(lambda what, done, total: print(what, done, total))
"""
RUN = """
from tests.lifecycle.stored_baseline import summary, cases, stored
found = summary(cases()["frozen_b"]())
assert found["digests"] == stored("frozen_b")["digests"]
"""
STAMP = "from tankside.lifecycle.kernel.starter import source_stamp; print(source_stamp())"


def test_the_stamp_does_not_depend_on_what_is_loaded() -> None:
    starter.loop()
    alone = subprocess.run([sys.executable, "-c", STAMP], capture_output=True, check=True)
    assert int(alone.stdout) == starter.source_stamp()


def test_the_stamp_changes_with_the_text_of_a_module(monkeypatch: pytest.MonkeyPatch) -> None:
    before = starter.source_stamp()
    find = find_spec

    class Changed:
        def get_source(self, name: str) -> str:
            return f"# {name}"

    def found(name: str) -> object:
        spec = find(name)
        if spec is not None and name.endswith(".views"):
            spec.loader = Changed()  # type: ignore[assignment]  # gives the source, loads nothing
        return spec

    monkeypatch.setattr(starter, "find_spec", found)
    assert starter.source_stamp() != before


def test_what_could_not_be_kept_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    messages: list[str] = []

    @lru_cache
    def made() -> Made:
        return Made(lambda: None, "No space left on device")

    monkeypatch.setattr(starter, "_made", made)
    starter.prepare(lambda what, done, total: messages.append(what))
    assert messages == [starter.NOT_KEPT.format("No space left on device")]


@pytest.mark.slow
def test_compiling_is_told_once_and_later_runs_fetch_the_same_code(tmp_path: Path) -> None:
    fresh = os.environ | {"NUMBA_CACHE_DIR": str(tmp_path)}

    def said(script: str) -> list[str]:
        ran = [sys.executable, "-c", script]
        out = subprocess.run(ran, env=fresh, capture_output=True, text=True, check=True).stdout
        return out.splitlines()

    compiled = [f"{starter.TOLD} 0 1", f"{starter.TOLD} 1 1"]
    assert said(PREPARE) == compiled
    (kept,) = tmp_path.rglob("*.code")
    before = kept.read_bytes()
    assert said(PREPARE + RUN) == []
    assert kept.read_bytes() == before
    middle = len(before) // 2
    kept.write_bytes(before[:middle] + bytes([before[middle] ^ 1]) + before[middle + 1 :])
    assert said(PREPARE + RUN) == compiled
    assert said(PREPARE + RUN) == []
