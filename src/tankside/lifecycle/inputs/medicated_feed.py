"""Medicated feed on the life cycle: what hinders settling and what shortens residence.

What a feed kills on the fish is a mortality factor (:mod:`.mortality_factors`). Besides,
``feed.<agent>.refused`` is the share of contacts that do not settle while the feed lasts, and
``feed.<agent>.<stage>.stay_factor`` multiplies the residence time on the fish. A feed lasts
``feed.<agent>.lasts_h`` from its hour on (a day when that is not stated).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from tankside.claims.organism import Organism
from tankside.course.bodies.tank_hours import Channel, TankHours, TimedEvent
from tankside.lifecycle.inputs.mortality_factors import FEED
from tankside.lifecycle.inputs.parameters import Parts, Values, number
from tankside.lifecycle.inputs.types import Floats, HostGroup
from tankside.lifecycle.kernel.positions import Column
from tankside.quantity.per import HOURS_PER_DAY


class Fed(Protocol):
    """What must be known of a forecast to tell who is fed what and when."""

    @property
    def organism(self) -> Organism:
        """Stages and claims."""
        ...

    @property
    def parts(self) -> Parts:
        """Stages by their part in the loop."""
        ...

    @property
    def tank_hours(self) -> TankHours:
        """The events."""
        ...

    @property
    def hosts(self) -> tuple[HostGroup, ...]:
        """The fish."""
        ...


def lasts_h(organism: Organism, agent: str) -> int:
    """Return for how many hours a feed acts [h]."""
    return int(np.ceil(number(organism, f"{FEED}.{agent}.lasts_h", HOURS_PER_DAY)))


def feeds(tank_hours: TankHours) -> Iterator[TimedEvent]:
    """Yield the medicated feeds of a course."""
    for event in tank_hours.events:
        if event.channel is Channel.FEED and event.agent:
            yield event


def hindering(organism: Organism, tank_hours: TankHours) -> str:
    """Return the agent of the feed that hinders settling, "" when none does.

    One at a time: where several are given, the first by name counts.
    """
    agents = sorted({event.agent for event in feeds(tank_hours)})
    return next((a for a in agents if organism.known(f"{FEED}.{a}.refused")), "")


def _residence_key(agent: str, stage: str) -> str:
    return f"{FEED}.{agent}.{stage}.stay_factor"


def fed_hours(agent: str, setup: Fed, where: NDArray[np.int64]) -> Floats:
    """Return 1 in the hours in which a feed with this agent lasts, (G, H)."""
    fed = np.zeros(where.shape)
    for event in feeds(setup.tank_hours):
        if event.agent == agent:
            until = event.hour + lasts_h(setup.organism, agent)
            for g, group in enumerate(setup.hosts):
                if event.group in (group.id, ""):
                    fed[g, event.hour : until] = 1.0
    return fed


def feed_rate(setup: Fed, where: NDArray[np.int64]) -> Floats:
    """Return the factor on the clock of the residence on the fish, (G, H): 1 / that of time."""
    rate = np.ones(where.shape)
    stage = setup.parts.timed_host
    if stage is None:
        return rate
    for agent in {event.agent for event in feeds(setup.tank_hours)}:
        factor = number(setup.organism, _residence_key(agent, stage.key), 1.0)
        rate *= np.where(fed_hours(agent, setup, where) > 0, 1 / factor, 1.0)
    return rate


def with_feed(table: Floats, setup: Fed, values: Values) -> Floats:
    """Return the value columns with the share of contacts that the feed has refused."""
    agent = hindering(setup.organism, setup.tank_hours)
    if agent:
        table[:, Column.FED_REFUSED] = values.of(f"{FEED}.{agent}.refused")
    return table
