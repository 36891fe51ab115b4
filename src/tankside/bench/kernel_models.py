"""The two frozen models on which the life-cycle loop is measured and checked."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np

from tankside import lifecycle
from tankside.claims.organism import Organism
from tankside.course.bodies.tank_hours import BodyHours, Channel, Stratum, TankHours, TimedEvent
from tankside.library.organism_files import organism_from
from tankside.library.subject_files import read_subjects
from tankside.quantity.per import HOURS_PER_DAY

BODY = "tank"


@dataclass(frozen=True, slots=True)
class Model:
    """One frozen model: an organism under a course, and where it starts."""

    name: str
    organism: Organism
    tank_hours: TankHours
    hosts: tuple[lifecycle.HostGroup, ...]
    start: lifecycle.InitialState
    swimmer_kill_per_h: np.ndarray[Any, np.dtype[np.float64]]
    settings: dict[str, Any]

    def compiled(self) -> lifecycle.Compiled:
        """Compile the model for the loop."""
        return lifecycle.compile(self.organism, self.tank_hours, self.hosts)


def folder() -> Path:
    """Return the folder of the frozen model files."""
    return Path(str(files("tankside.bench") / "models"))


def model(name: str, *, fish: int = 1, days: int = 0, burden: int = 1) -> Model:
    """Return model "A" (untreated) or "B" (treated).

    Args:
        name: "A" or "B".
        fish: times as many fish, infested and clean alike, in as much more water.
        days: length; 0 for the frozen length.
        burden: times as many parasites on each infested fish.
    """
    organism = organism_from(next(iter(read_subjects(folder(), []))), [])
    course = tomllib.loads((folder() / "courses.toml").read_text(encoding="utf-8"))
    hours = (days or int(course["days"])) * HOURS_PER_DAY
    treated = course["treated"] if name == "B" else None
    kill = kill_per_h(treated, hours) if treated else np.zeros(hours)
    course["volume_l"] *= fish
    numbers = course["fish"]
    weight = (numbers["weight_g"],) * 3
    each = float(numbers["parasites_each"] * burden)
    return Model(
        name=name,
        organism=organism,
        tank_hours=_tank_hours(course, treated, hours, kill),
        hosts=(
            lifecycle.HostGroup("infested", numbers["infested"] * fish, weight),
            lifecycle.HostGroup("clean", numbers["clean"] * fish, weight),
        ),
        start=lifecycle.InitialState(
            {"infested": (each, each, each)}, age=0.0, steady_bottom=False, exact=True
        ),
        swimmer_kill_per_h=kill,
        settings=course,
    )


def warming(course: dict[str, Any], hours: int) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return the temperature of each hour: a straight line, then level [C]."""
    part = np.minimum((np.arange(hours) + 1 / 2) / course["warming_h"], 1.0)
    return np.asarray(course["start_c"] + (course["end_c"] - course["start_c"]) * part)


def kill_per_h(treated: dict[str, Any], hours: int) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return the kill of swimmers in each hour: most x C / (C + half), C at mid-hour."""
    strength, kill = 0.0, np.zeros(hours)
    decay = 2.0 ** (-1.0 / treated["half_life_h"])
    for hour in range(hours):
        if hour % HOURS_PER_DAY == treated["water_hour"]:
            strength = strength * (1 - treated["water_share"]) + treated["dose_mg_l"]
        middle = strength * decay ** (1 / 2)
        kill[hour] = treated["most_per_h"] * middle / (middle + treated["half_at_mg_l"])
        strength *= decay
    return kill


def _tank_hours(
    course: dict[str, Any],
    treated: dict[str, Any] | None,
    hours: int,
    kill: np.ndarray[Any, np.dtype[np.float64]],
) -> TankHours:
    still = np.zeros(hours)
    body = BodyHours(
        body=BODY,
        volume_l=course["volume_l"],
        temperature_c=warming(course, hours),
        salinity_g_l=still,
        residue_low_mg_l={},
        residue_high_mg_l={},
        oxygen_mg_l=still,
        total_ammonia_mg_l_n=still,
        nitrite_mg_l_n=still,
        ph=still,
        light=still,
        exchange_per_h=kill,
        uv_per_h=still,
        fine_filter_per_h=still,
    )
    where = {group: np.zeros(hours, dtype=np.int16) for group in ("infested", "clean")}
    events = _events(treated, hours) if treated else ()
    return TankHours(hours, (BODY,), (Stratum("point", 1.0, (body,)),), events, where)


def _events(treated: dict[str, Any], hours: int) -> tuple[TimedEvent, ...]:
    rows = (
        (treated["siphon_hour"], Channel.BOTTOM_REMOVED, treated["siphon_share"]),
        (treated["water_hour"], Channel.WATER_REMOVED, treated["water_share"]),
    )
    return tuple(
        TimedEvent(day + hour, BODY, channel, share, share, share)
        for day in range(0, hours, HOURS_PER_DAY)
        for hour, channel, share in rows
    )
