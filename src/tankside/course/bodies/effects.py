"""What a step does to a body of water or to who is in it, before anything is worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from tankside.course.bodies.system import NewWater

SALT = "sodium_chloride"
"""The agent that salinity follows."""
AGENT_PREFIX = "agent:"
"""What names a reading of an agent apart from a reading of the water."""


class Switch(StrEnum):
    """Things at a body of water that are set to a value and stay so until set again."""

    AIR_STONE = "air_stone"  # 1 on, 0 off
    CARBON = "carbon"  # 1 in the water, 0 out
    UV = "uv"  # turnovers per hour through the working unit
    FINE_FILTER = "fine_filter"  # turnovers per hour through the fine filter
    FEED = "feed"  # 1 the usual ration, 0 none
    LIGHTS = "lights"  # hours of light a day


@dataclass(frozen=True, slots=True)
class AgentAdded:
    """A mass of an agent put into a body [mg, on the agent's basis].

    ``least_mg`` is what surely went in where that is less; None where ``mg`` is sure.
    ``whole`` tells a dose of the whole body from the dosing of new water; ``route`` is the one
    under which its limits stand, ``minutes`` the length of a timed bath, ``reason`` what was typed
    for passing the soft limit.
    """

    body: str
    agent: str
    mg: float
    whole: bool = False
    route: str = "prolonged"
    minutes: float | None = None
    reason: str = ""
    least_mg: float | None = None

    @property
    def surely_mg(self) -> float:
        """What surely went in [mg]."""
        return self.mg if self.least_mg is None else self.least_mg


@dataclass(frozen=True, slots=True)
class AgentUnknown:
    """An amount of an agent put into a body that nobody knows."""

    body: str
    agent: str


@dataclass(frozen=True, slots=True)
class Held:
    """The strength of an agent that the course holds from now on [mg/L]; changes put it back.

    ``reason`` is what was typed for passing the soft limit; it holds for what is put back too.
    """

    body: str
    agent: str
    mg_l: float
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Exchanged:
    """Water taken out and the same volume of new water put in, in that order.

    ``surely`` is False when nobody knows whether it was done: the high edge stays then.
    """

    body: str
    litres: float
    new_water: NewWater
    surely: bool = True


@dataclass(frozen=True, slots=True)
class InflowShut:
    """The new water that runs in all the time is shut for some hours, then runs again."""

    body: str
    for_h: float


@dataclass(frozen=True, slots=True)
class Switched:
    """A switch set to a value."""

    body: str
    switch: Switch
    value: float


@dataclass(frozen=True, slots=True)
class Warmed:
    """A new target temperature reached at a rate a day."""

    body: str
    to_c: float
    per_day_c: float


@dataclass(frozen=True, slots=True)
class Moved:
    """A group of animals moved to another body ("" = it leaves the case)."""

    group: str
    to_body: str


@dataclass(frozen=True, slots=True)
class ReadingEntered:
    """Readings taken: field names of ``System`` or "agent:<id>" [mg/L], with their values."""

    body: str
    values: Mapping[str, float]


Effect = (
    AgentAdded
    | AgentUnknown
    | Held
    | Exchanged
    | InflowShut
    | Switched
    | Warmed
    | Moved
    | ReadingEntered
)
