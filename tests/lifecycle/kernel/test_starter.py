"""The loop is compiled once, says so, and is fetched afterwards."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tankside.lifecycle.kernel import starter

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
    find = starter.find_spec

    class Changed:
        def get_source(self, name: str) -> str:
            return f"# {name}"

    def found(name: str) -> object:
        spec = find(name)
        if spec is not None and name.endswith(".views"):
            spec.loader = Changed()  # type: ignore[assignment]
        return spec

    monkeypatch.setattr(starter, "find_spec", found)
    assert starter.source_stamp() != before


@pytest.mark.slow
def test_compiling_is_told_once_and_later_runs_fetch_the_same_code(tmp_path: Path) -> None:
    fresh = os.environ | {"NUMBA_CACHE_DIR": str(tmp_path)}

    def said(script: str) -> list[str]:
        ran = [sys.executable, "-c", script]
        out = subprocess.run(ran, env=fresh, capture_output=True, text=True, check=True).stdout
        return out.splitlines()

    assert said(PREPARE) == [f"{starter.TOLD} 0 1", f"{starter.TOLD} 1 1"]
    kept = sorted(tmp_path.rglob("*.nbc"))
    assert len(kept) == 1
    assert said(PREPARE + RUN) == []
    assert sorted(tmp_path.rglob("*.nbc")) == kept
