"""A command imports what it needs and no more: most of what a short command takes is its start."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

PROBE = """
import json, sys
from tankside.cli.main import app
try:
    app()
except SystemExit as ended:
    print(json.dumps([ended.code, sorted(sys.modules)]), file=sys.stderr)
"""
OPENING = ("--name", "Elm Road", "--keeper", "M. Vell", "--water", "fresh", "--zone", "UTC")


def imported(folder: Path, *words: str) -> set[str]:
    """Run a command in a new process; return the names of all that it imported."""
    ran = subprocess.run(
        [sys.executable, "-c", PROBE, *words], cwd=folder, capture_output=True, text=True
    )
    code, modules = json.loads(ran.stderr.splitlines()[-1])
    assert code == 0, ran.stdout + ran.stderr
    return set(modules)


@pytest.mark.parametrize(
    ("words", "unneeded"),
    [
        (("case", "add", "c.jsonl", "finding", "flashing=frequent"),
         {"numpy", "scipy", "tankside.course", "tankside.diagnose", "tankside.lifecycle"}),
        (("differential", "c.jsonl"),
         {"scipy", "numba", "tankside.course", "tankside.lifecycle", "tankside.plan"}),
        (("dose", "--agent", "salt", "--strength", "2 g/L", "--volume", "173 L",
          "--second-volume", "175 L", "--label", "pure", "--scale", "1 g",
          "--animal", "clown loach"),
         {"numba", "tankside.follow", "tankside.plan"}),
    ],
    ids=["case add", "differential", "dose"],
)  # fmt: skip
def test_a_command_leaves_alone_what_it_does_not_need(
    words: tuple[str, ...], unneeded: set[str], tmp_path: Path
) -> None:
    imported(tmp_path, "case", "new", "c.jsonl", *OPENING)
    assert not unneeded & imported(tmp_path, *words)
