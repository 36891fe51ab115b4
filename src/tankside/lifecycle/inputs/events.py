"""Timed events of a course as rows the kernel reads: removals, baths and feeds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.course.bodies.tank_hours import BodyHours, Channel, TankHours, TimedEvent
from tankside.lifecycle.inputs.exposure import in_bath
from tankside.lifecycle.inputs.mortality_factors import FEED, MortalityFactor
from tankside.lifecycle.inputs.parameters import Parts
from tankside.lifecycle.inputs.types import Floats, HostGroup
from tankside.lifecycle.kernel.positions import EventColumn, ShareColumn
from tankside.quantity.per import MINUTES_PER_HOUR

NOBODY = -1
Row = tuple[tuple[int, int, int, int], tuple[float, float, float, float]]


@dataclass(frozen=True, slots=True)
class EventContext:
    """What the events of one stratum happen to.

    ``siphoned`` is the part of each bottom stage that lies loose, so that a siphon lifts it.
    """

    factors: tuple[MortalityFactor, ...]
    parts: Parts
    hosts: tuple[HostGroup, ...]
    bodies: tuple[str, ...]
    water: Mapping[str, BodyHours]
    where: NDArray[np.int64]
    last_hour: int
    feed_lasts_h: Mapping[str, int]
    siphoned: tuple[float, ...]


def event_rows(context: EventContext, tank_hours: TankHours) -> tuple[NDArray[np.int64], Floats]:
    """Return the (E, 4) rows of the kernel: what and where, then how much and for how long."""
    rows = [
        row
        for event in tank_hours.events
        if event.hour < context.last_hour
        for row in _rows(context, event)
    ]
    at = np.asarray([row[0] for row in rows], dtype=np.int64).reshape(-1, len(EventColumn))
    share = np.asarray([row[1] for row in rows], dtype=np.float64).reshape(-1, len(ShareColumn))
    return at, share


def _rows(context: EventContext, event: TimedEvent) -> Iterator[Row]:
    if event.channel is Channel.BATH:
        yield from _bath(context, event)
    elif event.channel is Channel.FEED:
        yield from _feed(context, event)
    elif event.body in context.bodies:
        yield from _removal(context, event)


def _removal(context: EventContext, event: TimedEvent) -> Iterator[Row]:
    shares = (event.share_low, event.share, event.share_high, 0.0)
    water = 1 + len(context.parts.bottom)
    body = context.bodies.index(event.body)
    if event.channel is Channel.WATER_REMOVED:
        yield (event.hour, water, body, NOBODY), shares
    if event.channel is Channel.BOTTOM_REMOVED:
        for k, loose in enumerate(context.siphoned):
            lifted = (event.share_low * loose, event.share * loose, event.share_high * loose, 0.0)
            yield (event.hour, 1 + k, body, NOBODY), lifted


def _groups(context: EventContext, event: TimedEvent, hour: int) -> Iterator[tuple[int, int]]:
    """Yield (group, body) of the fish an event means that are somewhere in that hour."""
    for g, group in enumerate(context.hosts):
        body = int(context.where[g, hour])
        if event.group in (group.id, "") and body >= 0:
            yield g, body


def _bath(context: EventContext, event: TimedEvent) -> Iterator[Row]:
    bath = context.water.get(event.to_body)
    hours = event.minutes / MINUTES_PER_HOUR
    for g, body in _groups(context, event, event.hour):
        warm = float(context.water[context.bodies[body]].temperature_c[event.hour])
        for a, factor in enumerate(context.factors):
            strength = in_bath(factor, event, bath, warm)
            if strength > 0 and any(reach.slot == 0 for reach in factor.reaches):
                yield (event.hour, 0, g, a), (0.0, strength, 0.0, hours)


def _feed(context: EventContext, event: TimedEvent) -> Iterator[Row]:
    """Let a feed act hour by hour, from its own hour on, for as long as it lasts."""
    for a, factor in enumerate(context.factors):
        if (factor.kind, factor.driver) != (FEED, event.agent):
            continue
        until = min(event.hour + context.feed_lasts_h[event.agent], context.last_hour)
        for hour in range(event.hour, until):
            for g, _ in _groups(context, event, hour):
                yield (hour, 0, g, a), (0.0, event.amount, 0.0, 1.0)
