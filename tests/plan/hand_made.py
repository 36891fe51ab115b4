"""Small hand-made cases, levers and outcomes whose comparison can be worked out on paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import SimpleNamespace
from typing import Any

import numpy as np
from tests.lifecycle.tanks import body, fish, tank_hours, white_spot, without

from tankside.course import BodyKind, Caution, CourseRun, DayLine, Level, StockGroup, System, Volume
from tankside.course.actions import Air
from tankside.lifecycle import Draws, Histories, HostGroup, StageDurations
from tankside.plan import Candidate, CandidatePart, Lever, Levers, Situation, Staying, Substance

STAYS = StageDurations(25.0, (4.0, 5.0, 6.0), (0.5, 0.75, 1.0), (4.5, 5.75, 7.0))
"""Fast cycle 4.5 d, slow cycle 7 d."""
LEVERS = Levers(
    change_shares=(0.1, 0.25, 0.5),
    usual_change=0.25,
    change_every_d=(1, 2, 3),
    lengths=(2.0, 3.0),
    warm_rises_c=(2.0,),
    warm_per_day_c=1.0,
    salt_step_g_l=1.0,
    salt_step_every_h=24,
    removal_changes=2,
    morning_h=8,
    evening_h=18,
    latest_h=21,
    count_every_d=2,
)
SALT = Substance("sodium_chloride", "Salt", (2000.0,), Staying.HELD, in_steps=True)
DYE = Substance("dye", "Dye", (0.1,), Staying.FADES, carbon_removes=True, again_every_d=(2, 4, 6))


def tank(name: str = "main", litres: float = 100.0, **more: Any) -> System:
    kind = BodyKind.MAIN if name == "main" else BodyKind.HOSPITAL
    volume = Volume(litres, litres, litres, "by hand")
    return System(name, f"the {name} tank", kind, volume, temperature_c=25.0, **more)


def group(name: str = "tetra", count: int = 10, where: str = "main") -> StockGroup:
    return StockGroup(name, None, name, count, None, None, where)


def situation(*substances: Substance, **more: Any) -> Situation:
    """Return one 100 L tank with ten tetras, worked on from 18:00 of day 0."""
    made = Situation(
        systems=(tank(),),
        stock=(group(),),
        main="main",
        spare=(),
        fish=("tetra",),
        stage_durations=STAYS,
        substances=substances,
        first_h=18,
    )
    return replace(made, **more)


def course(name: str, kind: str = "salt", days: int = 10, levers: Sequence[str] = ()) -> Candidate:
    """Return a candidate whose levers do nothing but carry a name."""
    parts = (
        CandidatePart(Lever.AIR, words, (Air(18 + n, "main", True),))
        for n, words in enumerate(levers)
    )
    return Candidate(name, kind, days, tuple(parts))


def histories(
    clear: Sequence[bool],
    left: Sequence[int] = (),
    *,
    stock: int = 10,
    weights: Sequence[float] = (),
) -> Histories:
    """Return played histories of which only the end is told.

    Args:
        clear: for each history whether it ends without a parasite.
        left: fish alive at the end; all of them when not told.
        stock: fish at the start.
        weights: of the histories; equal when not told.
    """
    runs = len(clear)
    alive = np.full((runs, 2, 1), stock)
    alive[:, 1, 0] = list(left) or stock
    ends = np.zeros((runs, 2), dtype=bool)
    ends[:, 1] = clear
    nothing: Any = np.zeros(0)
    return Histories(
        at_h=np.array([0, 239]), groups=("tetra",), burden=nothing, visible=nothing,
        worst_visible=nothing, infested=nothing, alive=alive, bottom=nothing, swimmers=nothing,
        clear=ends, clear_day=nothing, weights=np.array(list(weights) or [1.0] * runs),
        fish_group=nothing, fish_burden=nothing, fish_visible=nothing, fish_alive=nothing,
        draws=Draws((), np.zeros((runs, 0)), np.ones(runs), 0), work=nothing,
    )  # fmt: skip


def care() -> Caution:
    """Return a caution that forbids nothing."""
    return Caution(
        Level.CARE, "E-DOSE-26", "Dye: care with loach.", "Nobody tried it.", "", "Watch them.",
        18, "main", "loach", "dye",
    )  # fmt: skip


def refusal(code: str, words: str, who: str = "", hour: int = 18) -> Caution:
    """Return a caution that forbids a course."""
    why, instead = "A figure says so.", "Choose another way."
    return Caution(Level.BLOCKED, code, words, why, "a key", instead, hour, "main", who, "dye")


@dataclass
class Outcome:
    """What a course comes to when it is played, and what its water says."""

    played: Histories
    safety: tuple[Caution, ...] = ()
    minutes: tuple[float | None, ...] = ()
    warm_c: float = 25.0


@dataclass
class ScriptedTrial:
    """Stands for a case: every course has the outcome written down for its name."""

    outcomes: Mapping[str, Outcome]
    situation: Situation = field(default_factory=situation)
    deadly: bool = True
    hosts: tuple[HostGroup, ...] = (fish(),)
    calls: list[tuple[str, int, int]] = field(default_factory=list)
    looked_at_h: set[tuple[int, ...]] = field(default_factory=set)

    @property
    def organism(self) -> Any:
        return white_spot() if self.deadly else without(white_spot(), "host.lethal")

    def water(self, made: Any) -> CourseRun:
        outcome = self.outcomes[made.name]
        hours = tank_hours(body(hours=24, warm=outcome.warm_c))
        lines = (DayLine(0, 0, "main", "air", "", (), minutes) for minutes in outcome.minutes)
        return CourseRun(made, hours, (), tuple(lines), outcome.safety, (), {})

    def compile(self, run: CourseRun) -> Any:
        return SimpleNamespace(name=run.course.name)

    def play(self, compiled: Any, number: int, count: int, record_h: tuple[int, ...]) -> Histories:
        self.calls.append((compiled.name, number, count))
        self.looked_at_h.add(record_h)
        return self.outcomes[compiled.name].played
