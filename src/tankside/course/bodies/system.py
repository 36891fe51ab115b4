"""The bodies of water of a case as the course sees them; what is not known is None."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from math import inf
from types import MappingProxyType

from tankside.course.bodies.volume import Volume

NOTHING: Mapping[str, float] = MappingProxyType({})
SALTY = ("marine", "brackish")
"""Kinds of water that are made with sea salt mix."""


class BodyKind(StrEnum):
    """What a body of water is used for."""

    MAIN = "main"
    HOSPITAL = "hospital"
    FISHLESS = "fishless"
    BATH = "bath"


class FilterState(StrEnum):
    """Whether the bacteria of the filter can remove ammonia."""

    RIPE = "ripe"
    UNRIPE = "unripe"


class Aeration(StrEnum):
    """How air gets into the water."""

    SURFACE_ONLY = "surface_only"
    AIR_STONE = "air_stone"


@dataclass(frozen=True, slots=True)
class InWater:
    """An agent already in the water when the course starts; None means amount not known.

    ``by_volume`` holds (low, high) in the smaller, the point and the larger volume, where a mass
    gives another strength in each; None where the strength is the same in all of them.
    """

    agent: str
    low_mg_l: float | None
    high_mg_l: float | None
    put_in_h: float = 0.0
    by_volume: tuple[tuple[float, float], ...] | None = None

    def edges(self, place: int) -> tuple[float, float]:
        """Return (low, high) in one volume [mg/L]; 0 where nobody knows.

        Args:
            place: -1 the smaller volume, 0 the point, 1 the larger (as ``StratumSpec.place``).
        """
        if self.by_volume is not None:
            return self.by_volume[place + 1]
        return self.low_mg_l or 0.0, self.high_mg_l or 0.0


class Treated(StrEnum):
    """What water from the tap was treated with before it came to the keeper."""

    NONE = "none"
    CHLORINE = "chlorine"
    CHLORAMINE = "chloramine"


def strictest(answers: Iterable[Treated | None]) -> Treated | None:
    """Return the answer that asks for most before water may go in; None when nobody answered."""
    every = set(answers)
    return next((treated for treated in reversed(Treated) if treated in every), None)


@dataclass(frozen=True, slots=True)
class Inflow:
    """New water that runs in all the time while as much runs away over an overflow.

    Args:
        litres_per_h: how much runs in [L/h]; None when nobody measured it.
        off_for_h: how long it may be shut without harm [h]; None when nobody said.
    """

    litres_per_h: float | None = None
    off_for_h: float | None = None

    def edges_l_h(self) -> tuple[float, float]:
        """Return the least that surely runs through and the most that must be feared [L/h]."""
        runs = self.litres_per_h
        return (0.0, inf) if runs is None else (runs, runs)


@dataclass(frozen=True, slots=True)
class NewWater:
    """Water that replaces what is taken out; None means not measured.

    ``temperature_c`` None means "matched to the tank", which the day line then asks for.
    ``treated`` None means that nobody knows what the tap water was treated with.
    """

    temperature_c: float | None = None
    ph: float | None = None
    alkalinity_mg_l_caco3: float | None = None
    salinity_g_l: float | None = None
    total_ammonia_mg_l_n: float | None = None
    nitrite_mg_l_n: float | None = None
    chloride_mg_l: float | None = None
    treated: Treated | None = None
    chlorine_mg_l: float | None = None


@dataclass(frozen=True, slots=True)
class System:
    """Water that is shared: one tank, several on one filter, a pond, a box, a bath.

    Every reading is None when unknown; nothing is put in its place. ``read_at_h`` gives the
    elapsed hour (0 = start of the course, negative before) at which a reading was taken, by
    field name. ``salinity_g_l`` is total dissolved salt; ``room_c`` what the water goes to when
    it is not heated. ``substrate`` tells that rock, sand or gravel is in it. ``water`` is
    "fresh", "brackish" or "marine". ``co2_added`` tells that carbon dioxide is led in for
    plants, ``ammonia_bound`` that a conditioner which binds ammonia is used. ``inflow``
    is what runs through it; None when nothing does. ``residues_at_h`` is the elapsed hour at
    which the residues are as told: what leaves the water leaves it from then on.
    """

    id: str
    name: str
    kind: BodyKind
    volume: Volume
    water: str | None = None
    temperature_c: float | None = None
    temperature_low_c: float | None = None
    temperature_high_c: float | None = None
    room_c: float | None = None
    salinity_g_l: float | None = None
    ph: float | None = None
    alkalinity_mg_l_caco3: float | None = None
    total_ammonia_mg_l_n: float | None = None
    nitrite_mg_l_n: float | None = None
    chloride_mg_l: float | None = None
    oxygen_mg_l: float | None = None
    oxygen_dawn_mg_l: float | None = None
    altitude_m: float | None = None
    surface_area_m2: float | None = None
    turnover_per_h: float | None = None
    uv_turnover_per_h: float | None = None
    uv_on: bool | None = None
    ozone_on: bool | None = None
    skimmer_on: bool | None = None
    carbon_in: bool | None = None
    substrate: bool | None = None
    filter_state: FilterState | None = None
    aeration: Aeration | None = None
    plants: bool | None = None
    invertebrates: bool | None = None
    lights_on_hour: int | None = None
    lights_off_hour: int | None = None
    food_fish: bool | None = None
    gasping: bool | None = None
    co2_added: bool | None = None
    ammonia_bound: bool | None = None
    residues: tuple[InWater, ...] = ()
    residues_at_h: float = 0.0
    new_water: NewWater = field(default_factory=NewWater)
    inflow: Inflow | None = None
    read_at_h: Mapping[str, float] = field(default_factory=lambda: NOTHING)
