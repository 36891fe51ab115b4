"""Run one body of water through a schedule, in every stratum."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil

import numpy as np
from numpy.typing import NDArray

from tankside.claims import Knowledge
from tankside.course.amounts.needs import Readings
from tankside.course.bodies.effects import (
    AGENT_PREFIX,
    SALT,
    AgentAdded,
    AgentUnknown,
    Effect,
    Exchanged,
    InflowShut,
    ReadingEntered,
    Switch,
    Switched,
    Warmed,
)
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.hours import stepped
from tankside.course.bodies.strata import StratumSpec
from tankside.course.bodies.system import SALTY, NewWater, System
from tankside.course.bodies.tank_hours import Hourly
from tankside.course.water.heat import RETURN_PER_H, swing_c, target_c
from tankside.course.water.inflow import running
from tankside.course.water.light import light
from tankside.course.water.mixing import Mixing
from tankside.course.water.residues import loss_of
from tankside.quantity.per import MG_PER_G

Floats = NDArray[np.float64]

SALINITY = "salinity"
DEVIATION = "temperature deviation"
AGENTS = 2
"""Rows before those of the agents."""
FRESH_KEY = "practice.course.fresh_salinity"
FRESH = "fresh"
THERMOMETER_KEY = "practice.course.thermometer_error"


@dataclass(slots=True)
class BodyEffects:
    """The effects on one body, sorted by what they touch; hours rise within each list."""

    water: list[tuple[int, AgentAdded | AgentUnknown | Exchanged | ReadingEntered]] = field(
        default_factory=list
    )
    ramps: list[tuple[int, Warmed]] = field(default_factory=list)
    switches: dict[Switch, list[tuple[int, float]]] = field(default_factory=dict)
    shut: list[tuple[int, float]] = field(default_factory=list)

    def enter(self, hour: int, effect: Effect) -> None:
        """Sort one effect in."""
        match effect:
            case AgentAdded() | AgentUnknown() | Exchanged() | ReadingEntered():
                self.water.append((hour, effect))
            case Warmed():
                self.ramps.append((hour, effect))
            case InflowShut(_, for_h):
                self.shut.append((hour, for_h))
            case Switched(_, switch, value):
                self.switches.setdefault(switch, []).append((hour, value))
            case _:
                pass

    def agents(self, system: System) -> tuple[str, ...]:
        """Return every agent that is or will be in this water, in order of appearance."""
        agents = dict.fromkeys(residue.agent for residue in system.residues)
        for _, effect in self.water:
            if isinstance(effect, AgentAdded | AgentUnknown):
                agents[effect.agent] = None
            elif isinstance(effect, ReadingEntered):
                names = (n for n in effect.values if n.startswith(AGENT_PREFIX))
                agents |= dict.fromkeys(n.removeprefix(AGENT_PREFIX) for n in names)
        return tuple(agents)


def low_row(agent: str) -> str:
    """Return the name of the row of an agent's low edge."""
    return f"{agent} low"


def high_row(agent: str) -> str:
    """Return the name of the row of an agent's high edge."""
    return f"{agent} high"


@dataclass(slots=True)
class BodyRun:
    """One body while it is being worked out; arrays have shape (strata, hours)."""

    system: System
    steps: BodyEffects
    strata: Sequence[StratumSpec]
    hours: int
    facts: Knowledge
    agents: tuple[str, ...] = field(init=False)
    mixing: Mixing = field(init=False)
    carbon: Hourly = field(init=False)
    light: Hourly = field(init=False)
    uv: Hourly = field(init=False)
    fine_filter: Hourly = field(init=False)
    through_per_h: Floats = field(init=False)
    deviation_c: Floats = field(init=False)
    target_c: Hourly = field(init=False)
    temperature_c: Floats = field(init=False)
    salinity_g_l: Floats = field(init=False)
    residue_low: Mapping[str, Floats] = field(init=False)
    residue_high: Mapping[str, Floats] = field(init=False)
    solved: Floats = field(init=False)
    readings: Readings = field(init=False)

    def __post_init__(self) -> None:
        self.agents = self.steps.agents(self.system)
        self.readings = Readings.at_start(self.system)
        names = [SALINITY, DEVIATION]
        for agent in self.agents:
            names += [low_row(agent), high_row(agent)]
        volumes = np.array([s.volume_l(self.system.volume) for s in self.strata])
        start = np.zeros((len(names), volumes.size))
        start[0] = self._start_salinity() or 0.0
        for residue in self.system.residues:
            at = names.index(low_row(residue.agent))
            edges = [residue.edges(stratum.place) for stratum in self.strata]
            start[at : at + 2] += np.array(edges).T
        self.mixing = Mixing(tuple(names), volumes, start, self.hours)
        self.carbon = self.switched(Switch.CARBON, float(bool(self.system.carbon_in)))
        uv = (self.system.uv_turnover_per_h or 0.0) if self.system.uv_on else 0.0
        self.uv = self.switched(Switch.UV, uv)
        self.fine_filter = self.switched(Switch.FINE_FILTER, 0.0)
        self.through_per_h = np.zeros((len(self.strata), self.hours))
        lights = self.steps.switches.get(Switch.LIGHTS, [])
        self.light = light(self.system, lights, self.hours)
        read_c = self.system.temperature_c
        start_c = np.nan if read_c is None else read_c
        self.target_c = target_c(start_c, self.steps.ramps, self.hours)
        self._enter_steps()
        self._solve()

    def switched(self, switch: Switch, start: float) -> Hourly:
        """Return the hourly setting of a switch that starts at ``start``."""
        return stepped(start, self.steps.switches.get(switch, []), self.hours)

    def _salt_there_g_l(self) -> float:
        salts = (r for r in self.system.residues if r.agent == SALT)
        return sum(((r.low_mg_l or 0.0) + (r.high_mg_l or 0.0)) / 2 for r in salts) / MG_PER_G

    def _start_salinity(self) -> float | None:
        """Return the salinity at hour 0 [g/L]: the reading, or fresh water plus known salt."""
        if self.system.salinity_g_l is not None:
            return self.system.salinity_g_l
        if self.system.water != FRESH:
            return None
        fresh = find_number(self.facts, FRESH_KEY)
        return None if fresh is None else fresh + self._salt_there_g_l()

    def _matched_g_l(self) -> float:
        """Return the salinity of new water that nobody read [g/L]; NaN where nothing is known.

        Fresh water comes without the salt that was put in; salty water is mixed to what was read.
        """
        start = self._start_salinity()
        if start is None:
            return float("nan")
        return start if self.system.water in SALTY else start - self._salt_there_g_l()

    def _new(self, water: NewWater, hour: int, base_g_l: float) -> Floats:
        """Return the concentrations of new water; NaN where it is matched to the tank."""
        new = np.zeros(len(self.mixing.names))
        new[0] = base_g_l if water.salinity_g_l is None else water.salinity_g_l
        wanted = water.temperature_c
        new[1] = np.nan if wanted is None else wanted - self.target_c[hour]
        return new

    def _enter_steps(self) -> None:
        rows = {name: index for index, name in enumerate(self.mixing.names)}
        mixing = self.mixing
        base_g_l = self._matched_g_l()
        matched: dict[int, Floats] = {}
        for hour, effect in self.steps.water:
            if isinstance(effect, AgentAdded):
                at = rows[low_row(effect.agent)]
                mixing.add(hour, at, effect.surely_mg)
                mixing.add(hour, at + 1, effect.mg)
                if effect.agent == SALT:
                    mixing.add(hour, 0, effect.mg / MG_PER_G)
            elif isinstance(effect, Exchanged):
                water = effect.new_water
                new = matched.get(id(water))
                if new is None:
                    new = self._new(water, hour, base_g_l)
                if water.temperature_c is None:
                    matched[id(water)] = new
                mixing.exchange(hour, effect.litres, new)
            elif isinstance(effect, ReadingEntered):
                self._enter_reading(hour, effect, rows)

    def _enter_reading(self, hour: int, reading: ReadingEntered, rows: Mapping[str, int]) -> None:
        for name, value in reading.values.items():
            if name.startswith(AGENT_PREFIX):
                at = rows[low_row(name.removeprefix(AGENT_PREFIX))]
                self.mixing.set(hour, at, value)
                self.mixing.set(hour, at + 1, value)
            elif name == "salinity_g_l":
                self.mixing.set(hour, 0, value)
            elif name == "temperature_c":
                self.mixing.set(hour, 1, value - self.target_c[hour])

    def unknown(self, agent: str) -> NDArray[np.bool_]:
        """Return the hours in which nobody knows how much of an agent is there.

        That is so from when an amount was put in that nobody knows, at the start or later, until
        it is read or all the water is changed. The residues count only what is known.
        """
        hours = np.zeros(self.hours, dtype=np.bool_)
        lost = [r for r in self.system.residues if r.agent == agent and r.high_mg_l is None]
        hours[:] = bool(lost)
        for hour, effect in self.steps.water:
            if isinstance(effect, AgentUnknown) and effect.agent == agent:
                hours[hour:] = True
            read = isinstance(effect, ReadingEntered) and AGENT_PREFIX + agent in effect.values
            volume_l = self.system.volume.larger_l
            emptied = isinstance(effect, Exchanged) and effect.litres >= volume_l
            if read or emptied:
                hours[hour:] = False
        return hours

    def _solve(self) -> None:
        mixing = self.mixing
        retained = np.ones(mixing.shape)
        retained[1] = 1 - RETURN_PER_H
        for index, agent in enumerate(self.agents):
            low, high = loss_of(self.facts, agent, substrate=self.system.substrate).retained(
                self.carbon
            )
            retained[2 + 2 * index] = low
            retained[2 + 2 * index + 1] = high
        self._run_through(retained)
        told_h = self.system.residues_at_h
        retained[AGENTS::2, :, : int(told_h)] = 1.0
        retained[AGENTS + 1 :: 2, :, : ceil(told_h)] = 1.0
        mixing.retained = retained
        solved = self.solved = mixing.solve()
        self.salinity_g_l = solved[0]
        if self._start_salinity() is None:
            self.salinity_g_l = np.full_like(solved[0], np.nan)
        self.deviation_c = solved[1]
        error_c = find_number(self.facts, THERMOMETER_KEY) or 0.0
        spread_c = np.array([[-spec.place * error_c] for spec in self.strata])
        daily_c = self.target_c + swing_c(self.system, self.hours)
        self.temperature_c = daily_c + solved[1] + spread_c
        self.residue_low = {
            a: self._surely_there(a, solved[2 + 2 * i]) for i, a in enumerate(self.agents)
        }
        self.residue_high = {a: solved[2 + 2 * i + 1] for i, a in enumerate(self.agents)}

    def _surely_there(self, agent: str, low: Floats) -> Floats:
        """Return a low edge; before the hour at which a residue is told nothing is sure."""
        if not any(residue.agent == agent for residue in self.system.residues):
            return low
        sure = low.copy()
        sure[:, : int(self.system.residues_at_h)] = 0.0
        return sure

    def _run_through(self, retained: Floats) -> None:
        """Let the inflow thin what is dissolved: the salinity goes to that of the new water."""
        if self.system.inflow is None:
            return
        least, most = self.system.inflow.edges_l_h()
        open_h = running(self.steps.shut, self.hours)
        per_l = open_h / self.mixing.volume_l[:, None]
        self.through_per_h = least * per_l
        stays_low, stays_high = (
            np.exp(-np.multiply(runs, per_l, where=per_l > 0, out=np.zeros_like(per_l)))
            for runs in (most, least)
        )
        retained[AGENTS::2] *= stays_low
        retained[AGENTS + 1 :: 2] *= stays_high
        stated = self.system.new_water.salinity_g_l
        base = self._matched_g_l() if stated is None else stated
        if np.isnan(base):
            return
        retained[0] *= stays_high
        made = np.zeros(self.mixing.shape)
        made[0] = (1 - stays_high) * base
        self.mixing.made = made
