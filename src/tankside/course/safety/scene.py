"""Everything the safety checks may look at: one course, run, with its tanks and animals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims import Agent, Host, Knowledge
from tankside.course.actions.schedule import Schedule
from tankside.course.amounts.limits import lowest_useful
from tankside.course.bodies.effects import AgentAdded
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.system import BodyKind, System
from tankside.course.bodies.tank_hours import Hourly, TimedEvent
from tankside.course.bodies.unnamed import is_unnamed, shown
from tankside.course.water.body_run import BodyRun
from tankside.course.water.chemistry import Chemistry

Flags = NDArray[np.bool_]

PROLONGED = "prolonged"
GONE_KEY = "practice.course.gone_share"


@dataclass(frozen=True, slots=True)
class CourseScene:
    """A course that has been run.

    ``harsh``, ``middle`` and ``mild`` are the indices of the strata with the smallest, the point
    and the largest volume; ``where`` the body index of each group by hour; ``stock`` the animals.
    """

    systems: tuple[System, ...]
    stock: tuple[StockGroup, ...]
    plants: tuple[StockGroup, ...]
    facts: Knowledge
    schedule: Schedule
    waters: Mapping[str, Chemistry]
    bodies: Mapping[str, BodyRun]
    whole_doses: Mapping[tuple[str, str], Sequence[tuple[int, AgentAdded]]]
    where: Mapping[str, NDArray[np.int16]]
    harsh: int
    middle: int
    mild: int

    def agent(self, agent: str) -> Agent | None:
        """Return an agent's facts, or None when it is not in the library."""
        return self.facts.agents.get(agent)

    def agent_name(self, agent: str) -> str:
        """Return an agent's name as it stands in a sentence."""
        record = self.agent(agent)
        if record is None:
            return shown(agent)
        return record.short_name[0].lower() + record.short_name[1:]

    def host(self, group: StockGroup) -> Host | None:
        """Return a group's host facts, or None when the species is not known."""
        return None if group.host_id is None else self.facts.hosts.get(group.host_id)

    def high(self, body: str, agent: str, at: int | None = None) -> Hourly:
        """Return the high edge of a residue [mg/L]: smallest volume, or the stratum ``at``.

        NaN while an amount that nobody knows is in the water; it is then inside no limit.
        """
        run = self.bodies[body]
        series: Hourly = run.residue_high[agent][self.harsh if at is None else at]
        unknown = run.unknown(agent)
        return np.where(unknown, np.nan, series) if bool(unknown.any()) else series

    def low(self, body: str, agent: str) -> Hourly:
        """Return the low edge of a residue in the largest volume that fits [mg/L]."""
        series: Hourly = self.bodies[body].residue_low[agent][self.mild]
        return series

    def there(self, body: str, agent: str) -> Flags:
        """Return the hours in which an agent must be reckoned with: its high edge is not gone."""
        gone = gone_mg_l(self.facts, agent, self.bodies[body].system.water)
        flags: Flags = ~(self.high(body, agent) <= gone)
        return flags

    def in_body(self, group: str, body: str) -> Flags:
        """Return the hours in which a group is in a body."""
        index = [system.id for system in self.systems].index(body)
        flags: Flags = self.where[group] == index
        return flags

    def groups_with(self, body: str, agent: str) -> list[StockGroup]:
        """Return the groups of animals that share water with an agent at any hour."""
        return self._with(self.stock, body, agent)

    def plants_with(self, body: str, agent: str) -> list[StockGroup]:
        """Return the plants that share water with an agent at any hour."""
        return self._with(self.plants, body, agent)

    def _with(self, lives: Sequence[StockGroup], body: str, agent: str) -> list[StockGroup]:
        there = self.there(body, agent)
        return [g for g in lives if bool((self.in_body(g.id, body) & there).any())]

    def in_water(self, body: str) -> str:
        """Return " in NAME" of a body; "" where there is only one that animals live in."""
        lived_in = [run.system for run in self.bodies.values()
                    if run.system.kind is not BodyKind.BATH]  # fmt: skip
        return "" if len(lived_in) < 2 else f" in {self.bodies[body].system.name}"

    def given(self, body: str, agent: str) -> bool:
        """Whether a course puts an agent into a body: the whole of it, or its new water."""
        return any(
            isinstance(effect, AgentAdded) and (effect.body, effect.agent) == (body, agent)
            for _, effect in self.schedule.effects
        )

    def doses(self, body: str, agent: str) -> Sequence[tuple[int, AgentAdded]]:
        """Return the doses of a whole body with one agent, by hour."""
        return self.whole_doses.get((body, agent), ())

    def treated(self) -> Iterator[tuple[str, str]]:
        """Yield (body, agent) for every agent that is or comes into a body.

        What could not be named is no agent: ``not_known`` speaks of it.
        """
        for body, run in self.bodies.items():
            for agent in run.agents:
                if not is_unnamed(agent):
                    yield body, agent

    def handed(self) -> Iterator[tuple[TimedEvent, StockGroup]]:
        """Yield (event, group) of every agent given to a group apart: in a bath or in feed."""
        groups = {group.id: group for group in self.stock}
        for event in self.schedule.events:
            if event.agent and event.group in groups:
                yield event, groups[event.group]

    def route(self, body: str, agent: str) -> str:
        """Return the route by which an agent is used in a body; prolonged when mixed."""
        routes = {added.route for _, added in self.doses(body, agent)}
        return routes.pop() if len(routes) == 1 else PROLONGED


def gone_mg_l(facts: Knowledge, agent: str, water: str | None) -> float:
    """Return the strength up to which an agent counts as gone [mg/L]."""
    share = facts.find(GONE_KEY)
    usual = lowest_useful(facts, agent, PROLONGED, water)
    return 0.0 if share is None or usual is None else share.number() * usual.mg_l


def first_hour(flags: Flags) -> int | None:
    """Return the first hour in which a flag is set, or None."""
    hour = int(np.argmax(flags))
    return hour if bool(flags[hour]) else None


def last_hour(flags: Flags) -> int | None:
    """Return the last hour in which a flag is set, or None."""
    hour = int(flags.size - 1 - np.argmax(flags[::-1]))
    return hour if bool(flags[hour]) else None


def whole_doses(schedule: Schedule) -> dict[tuple[str, str], list[tuple[int, AgentAdded]]]:
    """Return the doses of whole bodies by (body, agent), in order of time."""
    doses: dict[tuple[str, str], list[tuple[int, AgentAdded]]] = {}
    for hour, effect in schedule.effects:
        if isinstance(effect, AgentAdded) and effect.whole:
            doses.setdefault((effect.body, effect.agent), []).append((hour, effect))
    return doses
