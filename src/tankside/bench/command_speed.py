"""Processor time of whole commands, each in a new process, beside an empty start of the same."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

EMPTY = "empty start"
CASE = "elm.jsonl"
TOLD = """
import atexit, sys, time
atexit.register(lambda: print(time.process_time(), file=sys.stderr))
"""
SALT = "salt-to-2-g-l-in-2-steps"
"""Short name of the course that the measured case follows."""
RUN = f"{TOLD}from tankside.cli.main import app\napp()\n"
MADE: tuple[tuple[str, ...], ...] = (
    ("case", "new", CASE, "--name", "Elm Road", "--keeper", "M. Vell", "--water", "fresh",
     "--zone", "Europe/London", "--opened", "2026-03-02"),
    ("case", "add", CASE, "system", "inside-length=118 cm", "inside-width=38 cm",
     "water-height=41 cm", "takes-away=11 L gravel", "hose=14 L/min for 12 min", "tap=chlorine"),
    ("case", "add", CASE, "stock", "name=cardinal tetra", "count=12", "length=3 cm"),
    ("case", "add", CASE, "water", "temperature=25.5 C", "ph=7.4", "oxygen=7.2 mg/L"),
    ("case", "add", CASE, "finding", "spots_visible=yes", "spot_size=grain", "flashing=frequent"),
    ("plan", CASE, "--label", "sodium_chloride=pure", "--scale", "1 g"),
    ("plan", CASE, "--choose", SALT),
)  # fmt: skip
MEASURED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "differential": ("differential", CASE),
        "case add": ("case", "add", CASE, "finding", "flashing=frequent"),
        "dose": (
            "dose", "--agent", "salt", "--strength", "2 g/L", "--volume", "173 L",
            "--second-volume", "175 L", "--label", "pure", "--scale", "1 g",
            "--animal", "clown loach", "--animal", "cardinal tetra",
        ),
        "today": ("today", CASE, "--date", "2026-03-02"),
    }
)  # fmt: skip


def measure(rounds: int) -> dict[str, float]:
    """Return processor seconds of each command and of an empty start, the least of the rounds.

    The commands are played in turn in one folder, on one case, with compiled modules and kept
    knowledge at hand; ``differential, nothing kept`` is its first run, with nothing kept. Other
    work on the machine lengthens processor time too, so the least counts.

    Args:
        rounds: how often each is run.
    """
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for words in MADE:
            _played(folder, words)
        _drop_kept(folder)
        times = {"differential, nothing kept": _played(folder, MEASURED["differential"])}
        for _ in range(rounds):
            for name in (EMPTY, *MEASURED):
                taken = _played(folder, MEASURED.get(name))
                times[name] = min(taken, times.get(name, taken))
    return times


def _played(folder: Path, words: Sequence[str] | None) -> float:
    """Run a command, or nothing at all, in a new process; return its processor seconds.

    Raises:
        RuntimeError: the command failed.
    """
    ran = subprocess.run(
        [sys.executable, "-c", TOLD if words is None else RUN, *(words or ())],
        env=_environment(folder),
        cwd=folder,
        capture_output=True,
        text=True,
    )
    if ran.returncode:
        raise RuntimeError(f"{' '.join(words or ())}: {ran.stderr}")
    return float(ran.stderr.split()[-1])


def _environment(folder: Path) -> dict[str, str]:
    """Return the surroundings of a run: what is compiled and kept lies in the folder."""
    kept = {"NUMBA_CACHE_DIR": folder / "kept", "PYTHONPYCACHEPREFIX": folder / "modules"}
    inherited = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return inherited | {name: str(path) for name, path in kept.items()}


def _drop_kept(folder: Path) -> None:
    for path in (folder / "kept" / "knowledge").iterdir():
        path.unlink()
