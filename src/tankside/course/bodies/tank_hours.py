"""TankHours: the one hour-by-hour truth that safety, parasite and day card read.

Time is elapsed hours since the start of the course (hour 0 = first moment of day 0).
Arrays have one value per hour; entry ``h`` holds for the hour ``[h, h + 1)``.
Timed events happen at the start of their hour, in list order, before that hour runs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Hourly = NDArray[np.float64]

NOWHERE = -1


class Channel(StrEnum):
    """The ways in which something done at the tank can act on a parasite or a fish."""

    WATER_REMOVED = "water_removed"  # share of swimmers lost with the water taken out
    BOTTOM_REMOVED = "bottom_removed"  # share of bottom stages lifted out
    GROUP_MOVED = "group_moved"  # fish go to another body; bottom and most water stages stay
    BATH = "bath"  # fish spend some minutes in another water and come back
    FEED = "feed"  # feed that changes attachment or residence
    FAST = "fast"  # no feed this day


@dataclass(frozen=True, slots=True)
class TimedEvent:
    """Something that happens at one moment, told in channels.

    ``share_low``, ``share`` and ``share_high`` bracket the fraction removed, or of the old water
    that comes along with a move (0 to 1);
    ``group`` and ``to_body`` are used by moves and baths, ``agent``, ``amount`` and ``minutes``
    (with ``unit``) by baths and feeds; ``route`` ("bath" or "dip") says which limits hold.
    """

    hour: int
    body: str
    channel: Channel
    share_low: float = 0.0
    share: float = 0.0
    share_high: float = 0.0
    group: str = ""
    to_body: str = ""
    agent: str = ""
    amount: float = 0.0
    unit: str = ""
    minutes: float = 0.0
    route: str = ""


@dataclass(frozen=True, slots=True)
class BodyHours:
    """One body of water, hour by hour, in one stratum of what is uncertain about it.

    Residues are keyed by agent id (concentration basis as the agent's file states it);
    the low edge counts days in range, the high edge governs safety.
    ``exchange_per_h`` is water replaced continuously, ``uv_per_h`` and ``fine_filter_per_h``
    are turnovers through a working UV unit or fine filter (0 when off).
    """

    body: str
    volume_l: float
    temperature_c: Hourly
    salinity_g_l: Hourly
    residue_low_mg_l: Mapping[str, Hourly]
    residue_high_mg_l: Mapping[str, Hourly]
    oxygen_mg_l: Hourly
    total_ammonia_mg_l_n: Hourly
    nitrite_mg_l_n: Hourly
    ph: Hourly
    light: Hourly
    exchange_per_h: Hourly
    uv_per_h: Hourly
    fine_filter_per_h: Hourly


@dataclass(frozen=True, slots=True)
class Stratum:
    """One combination of the uncertain water (volume, losses, temperature swing)."""

    name: str
    weight: float
    bodies: tuple[BodyHours, ...]


@dataclass(frozen=True, slots=True)
class TankHours:
    """All bodies of water of a case under one schedule.

    ``where`` maps each group of fish to the index of the body it is in, hour by hour
    (``NOWHERE`` when it has left the case).
    """

    hours: int
    body_ids: tuple[str, ...]
    strata: tuple[Stratum, ...]
    events: tuple[TimedEvent, ...]
    where: Mapping[str, NDArray[np.int16]]
