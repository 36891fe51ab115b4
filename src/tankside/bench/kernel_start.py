"""Time and memory of a first small result, in processes of their own."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass

FIRST = """
from tankside import library, lifecycle
from tankside.bench.kernel_models import model
frozen = model("B")
draws = lifecycle.draw(frozen.organism, 64, 1)
lifecycle.run(frozen.compiled(), frozen.start, draws, 64, 1)
"""
LARGE = """
from tankside import lifecycle
from tankside.bench.kernel_models import model
for frozen, number in ((model("A"), 4000), (model("A", fish=250, days=60), 8)):
    draws = lifecycle.draw(frozen.organism, number, 1)
    lifecycle.run(frozen.compiled(), frozen.start, draws, number, 1)
"""
TOLD = """
import time
from pathlib import Path
status = Path("/proc/self/status")
rows = [line.split() for line in status.read_text().splitlines()] if status.exists() else []
peak = next((int(row[1]) * 1024 / 1e6 for row in rows if row[:1] == ["VmHWM:"]), "unknown")
print(time.perf_counter() - begin, time.process_time(), peak)
"""


@dataclass(frozen=True, slots=True)
class Start:
    """What one fresh process took.

    Args:
        wall_s: on the clock, from the first import to the end.
        cpu_s: processor seconds of the whole process.
        peak_mb: most memory held; None where the system does not say (it does on Linux).
    """

    wall_s: float
    cpu_s: float
    peak_mb: float | None


def starts() -> dict[str, Start]:
    """Return what a first result takes with nothing compiled, later, and what large runs hold."""
    with tempfile.TemporaryDirectory() as cache:
        return {
            "cold": _fresh(FIRST, cache),
            "warm": min((_fresh(FIRST, cache) for _ in range(3)), key=lambda s: s.wall_s),
            "large": _fresh(LARGE, cache),
        }


def _fresh(work: str, cache: str) -> Start:
    ran = subprocess.run(
        [sys.executable, "-c", f"import time\nbegin = time.perf_counter()\n{work}{TOLD}"],
        env=os.environ | {"NUMBA_CACHE_DIR": cache},
        capture_output=True,
        text=True,
        check=True,
    )
    wall, cpu, peak = ran.stdout.split()
    return Start(float(wall), float(cpu), None if peak == "unknown" else float(peak))
