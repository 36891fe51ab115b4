"""What the readings of a water come to: the toxic part of its ammonia, and oxygen to come."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tankside.case import CaseView, ReadingView, SystemView
from tankside.case.parts import Reading
from tankside.errors import Mistake
from tankside.intake.species import find_host
from tankside.library import load
from tankside.services import water
from tankside.services.dawn_ahead import DawnAhead, dawn_ahead
from tankside.services.water_answer import WaterAnswer

FOR_AMMONIA = (Reading.TEMPERATURE, Reading.PH, Reading.AMMONIA)
MARINE = "marine"


@dataclass(frozen=True, slots=True)
class WaterNow:
    """What the readings of one water come to.

    Args:
        ammonia: the toxic part of the ammonia; why it cannot be worked out; None where a reading
            is missing.
        missing: the readings it still needs.
        oxygen: saturation now and after warming; None without a temperature.
        by_day: the last oxygen that was not read at dawn.
        at_dawn: the last oxygen that was read at dawn.
        warmest_c: what the water may be warmed to for the animal that bears least [deg C]; None
            where no limit is on file.
        warmest_of: the name of that animal.
        dawn: oxygen at the dawn to come, and after warming; None where a reading is missing.
    """

    ammonia: WaterAnswer | Mistake | None
    missing: tuple[Reading, ...]
    oxygen: WaterAnswer | Mistake | None
    by_day: ReadingView | None
    at_dawn: ReadingView | None
    warmest_c: float | None
    warmest_of: str
    dawn: DawnAhead | None = None


def water_now(view: CaseView, system: SystemView) -> WaterNow:
    """Return what the readings of a water come to.

    Args:
        view: the case.
        system: one of its waters.
    """
    texts = {
        what: standing.measured.text
        for what, standing in system.readings.items()
        if standing.measured is not None
    }
    salt = texts.get(Reading.SALINITY)
    warmest_c, warmest_of = _warmest(view, system)
    missing = tuple(what for what in FOR_AMMONIA if what not in texts)
    read = system.series.get(Reading.OXYGEN, ())
    by_day = next((reading for reading in reversed(read) if not reading.dawn), None)
    temperature = texts.get(Reading.TEMPERATURE)
    return WaterNow(
        ammonia=None if missing else _answered(
            lambda: water.ammonia(
                texts[Reading.TEMPERATURE],
                texts[Reading.PH],
                texts[Reading.AMMONIA],
                salinity=salt,
                salt=None if salt is None else "sea" if view.opened.water == MARINE else "common",
            )
        ),
        missing=missing,
        oxygen=None if temperature is None else _answered(
            lambda: water.oxygen(
                temperature,
                salinity=salt,
                reading=None if by_day is None or by_day.measured is None else by_day.measured.text,
                warmed_to=None if warmest_c is None else f"{warmest_c:g} C",
            )
        ),
        by_day=by_day,
        at_dawn=next((reading for reading in reversed(read) if reading.dawn), None),
        warmest_c=warmest_c,
        warmest_of=warmest_of,
        dawn=dawn_ahead(view, system, warmest_c),
    )  # fmt: skip


def _answered(asked: Callable[[], WaterAnswer]) -> WaterAnswer | Mistake:
    try:
        return asked()
    except Mistake as refused:
        return refused


def _warmest(view: CaseView, system: SystemView) -> tuple[float | None, str]:
    """Return the lowest of the upper limits of what lives in a water, and whose it is."""
    hosts = load().hosts
    limits = []
    for group in view.stock.values():
        host = find_host(hosts, group.description.host, group.description.name)
        span = None if host is None else host.temperature_range_c()
        if span is not None and group.system == system.id:
            limits.append((span[1], group.description.name))
    return min(limits) if limits else (None, "")
