"""The invented tank, timed over the corners of its sliders."""

from __future__ import annotations

import statistics
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace

from tankside.report.teaching.what_if import FINE, ROUGH, tried
from tankside.services.what_if import TryOut

ALLOWED_S: Mapping[str, float] = {ROUGH: 1.0, FINE: 5.0}
SETTINGS = tuple(
    replace(TryOut(), temperature_c=warm, salt_g_l=salt, every_d=every, missed_d=missed)
    for warm in (15.0, 25.0, 30.0)
    for salt in (0.0, 2.0)
    for every, missed in ((1.0, 0.0), (7.0, 14.0))
)


@dataclass(frozen=True, slots=True)
class TryOutFigure:
    """How long the slowest setting takes.

    Args:
        name: "rough" or "fine".
        seconds: middle of the rounds, of the clock [s].
        processor_s: the same of the processors together [s].
        setting: the slowest setting.
    """

    name: str
    seconds: float
    processor_s: float
    setting: str


def measure(rounds: int) -> tuple[TryOutFigure, ...]:
    """Return the slowest setting, rough and fine; what comes first of all is left out.

    Args:
        rounds: how often each setting is played.
    """
    tried(TryOut(), ROUGH)
    return tuple(_slowest(name, rounds) for name in ALLOWED_S)


def _slowest(name: str, rounds: int) -> TryOutFigure:
    figures = []
    for setting in SETTINGS:
        clock, processors = [], []
        for _ in range(rounds):
            began, spent = time.perf_counter(), time.process_time()
            tried(setting, name)
            clock.append(time.perf_counter() - began)
            processors.append(time.process_time() - spent)
        said = (
            f"{setting.temperature_c:g} C, {setting.salt_g_l:g} g/L, every {setting.every_d:g} d, "
            f"{setting.missed_d:g} d missed"
        )
        figures.append(
            TryOutFigure(name, statistics.median(clock), statistics.median(processors), said)
        )
    return max(figures, key=lambda figure: figure.processor_s)
