"""One body of water out of several that are joined: its volume, readings, equipment and life.

Strengths are the same in all parts, so the latest reading of any part holds for all. What stands
against a medicine (carbon, plants, invertebrates, fish that may be eaten) counts where it is in
any part; it is known to be absent only when it is absent from every one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from tankside.course import Aeration, BodyKind, FilterState, System
from tankside.course.bodies.system import Inflow, strictest
from tankside.course.bodies.volume import added

READ = (
    "temperature_c",
    "ph",
    "alkalinity_mg_l_caco3",
    "total_ammonia_mg_l_n",
    "nitrite_mg_l_n",
    "chloride_mg_l",
    "oxygen_mg_l",
    "salinity_g_l",
)
"""Readings of which the latest of any part holds for the whole."""
ANYWHERE = (
    "carbon_in",
    "substrate",
    "uv_on",
    "ozone_on",
    "skimmer_on",
    "plants",
    "invertebrates",
    "food_fish",
    "gasping",
    "co2_added",
    "ammonia_bound",
)
"""Answers that are yes when they are yes of any part, and no only when they are no of all."""
FIRST_TOLD = ("room_c", "altitude_m", "lights_on_hour", "lights_off_hour")
T = TypeVar("T")


def pooled(parts: Sequence[System]) -> System:
    """Return waters that are joined as one body; a single one is returned as it is.

    Args:
        parts: the waters, the one whose id the body has first.
    """
    if len(parts) == 1:
        return parts[0]
    volume = added([part.volume for part in parts])
    gathered: dict[str, Any] = {
        **{name: _first(getattr(part, name) for part in parts) for name in FIRST_TOLD},
        **{name: anywhere(getattr(part, name) for part in parts) for name in ANYWHERE},
        **{name: _latest(parts, name) for name in READ},
    }
    flows = [p.turnover_per_h * p.volume.point_l for p in parts if p.turnover_per_h is not None]
    waters = {part.water for part in parts if part.water is not None}
    return replace(
        parts[0],
        name=" + ".join(part.name for part in parts),
        kind=_kind(parts),
        volume=volume,
        water=waters.pop() if len(waters) == 1 else None,
        temperature_low_c=min(_told(part.temperature_low_c for part in parts), default=None),
        temperature_high_c=max(_told(part.temperature_high_c for part in parts), default=None),
        oxygen_dawn_mg_l=min(_told(part.oxygen_dawn_mg_l for part in parts), default=None),
        surface_area_m2=_sum(part.surface_area_m2 for part in parts),
        turnover_per_h=max(flows) / volume.point_l if flows else None,
        filter_state=_filter(parts),
        inflow=_inflow(parts),
        new_water=replace(
            parts[0].new_water, treated=strictest(part.new_water.treated for part in parts)
        ),
        aeration=_aeration(parts),
        read_at_h=_read_at_h(parts),
        **gathered,
    )


def anywhere(answers: Iterable[bool | None]) -> bool | None:
    """Return yes where any part says yes, no where all say no, else not known."""
    every = set(answers)
    return True if True in every else None if None in every else False


def _kind(parts: Sequence[System]) -> BodyKind:
    """Return what the whole is used for: what its parts with animals are for, sumps apart."""
    kinds = [part.kind for part in parts]
    order = (BodyKind.MAIN, BodyKind.HOSPITAL, BodyKind.BATH, BodyKind.FISHLESS)
    return next(kind for kind in order if kind in kinds)


def _first(values: Iterable[T | None]) -> T | None:
    return next((value for value in values if value is not None), None)


def _latest(parts: Sequence[System], name: str) -> float | None:
    read = [part for part in parts if getattr(part, name) is not None]
    if not read:
        return None
    last = max(read, key=lambda part: part.read_at_h.get(name, 0.0))
    value: float = getattr(last, name)
    return value


def _read_at_h(parts: Sequence[System]) -> dict[str, float]:
    """Return when each reading was taken last, and since when every volume has stood."""
    names = dict.fromkeys(name for part in parts for name in part.read_at_h)
    hours = {
        name: max(part.read_at_h[name] for part in parts if name in part.read_at_h)
        for name in names
    }
    measured = [part.read_at_h["volume"] for part in parts if "volume" in part.read_at_h]
    return hours | ({"volume": min(measured)} if measured else {})


def _told(values: Iterable[float | None]) -> list[float]:
    return [value for value in values if value is not None]


def _sum(values: Iterable[float | None]) -> float | None:
    every = list(values)
    stated = _told(every)
    return sum(stated) if len(stated) == len(every) else None


def _filter(parts: Sequence[System]) -> FilterState | None:
    states = {part.filter_state for part in parts}
    if FilterState.RIPE in states:
        return FilterState.RIPE
    return None if None in states else FilterState.UNRIPE


def _inflow(parts: Sequence[System]) -> Inflow | None:
    """Return what runs into all parts together, shut as long as the part that bears it least."""
    inflows = [part.inflow for part in parts if part.inflow is not None]
    if not inflows:
        return None
    shut = _told(inflow.off_for_h for inflow in inflows)
    return Inflow(
        _sum(inflow.litres_per_h for inflow in inflows),
        min(shut) if len(shut) == len(inflows) else None,
    )


def _aeration(parts: Sequence[System]) -> Aeration | None:
    """Return an air stone only where every part with animals has one: air stays in its tank."""
    lived_in = [part for part in parts if part.kind is not BodyKind.FISHLESS]
    states = {part.aeration for part in lived_in or parts}
    if Aeration.SURFACE_ONLY in states:
        return Aeration.SURFACE_ONLY
    return None if None in states else Aeration.AIR_STONE
