"""The running account of one body of water: what was put in, let out, lost and read, with edges.

Everything is kept as a strength in three volumes that fit what is known (smaller, point, larger),
each with a low and a high edge: a mass gives more strength in less water, a part change takes a
larger share of it, and what an agent loses by itself is known as a bracket at best. A limit is
held at the high edge, an effect is counted at the low one.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import exp, inf

from tankside.course.bodies.system import InWater
from tankside.course.bodies.volume import Volume

Edges = tuple[float, float]
"""A strength at its low and at its high edge [mg/L]."""
LossRates = Callable[[str], Edges]
"""``rates(agent)`` gives (slow, fast): the least that is surely lost and the most, [1/h]."""
NOTHING: Edges = (0.0, 0.0)
NO_RUN: Edges = (0.0, 0.0)


@dataclass(slots=True)
class WaterAccount:
    """What is in one body of water at one hour.

    Args:
        volume: how much water there is.
        rates: how fast an agent leaves by itself.
        hour: elapsed hour up to which the account is told.
        shut_until_h: elapsed hour until which what runs through is shut.
        inflows_l_h: the least and the most new water that runs into each part [L/h]; as much
            runs away.
        larger_unmeasured: whether a part of it has no volume, so that it may be any larger: what
            is let out is then no sure share of it.
    """

    volume: Volume
    rates: LossRates
    hour: float = 0.0
    shut_until_h: float = -inf
    strengths: dict[str, list[Edges]] = field(default_factory=dict)
    unknown: set[str] = field(default_factory=set)
    put_in_h: dict[str, float] = field(default_factory=dict)
    inflows_l_h: dict[str, Edges] = field(default_factory=dict)
    larger_unmeasured: bool = False

    @property
    def volumes_l(self) -> tuple[float, float, float]:
        """The smaller, the point and the larger volume [L]."""
        return self.volume.smaller_l, self.volume.point_l, self.volume.larger_l

    def start_with(self, residue: InWater) -> None:
        """Take over what is in the water already; several lots of one agent add up."""
        if residue.high_mg_l is None:
            self.put_in_unknown(residue.agent)
        else:
            self._raise(residue.agent, [residue.edges(place) for place in (-1, 0, 1)])

    def pass_to(self, hour: float) -> None:
        """Let time go by: ``c(t) = c(0) exp(-(k + Q/V) t)``, the low edge at the fast rates.

        An hour before the one reached changes nothing.
        """
        elapsed_h = hour - self.hour
        if elapsed_h <= 0:
            return
        running_h = max(0.0, hour - max(self.hour, self.shut_until_h))
        least_l, most_l = (runs * running_h if running_h else 0.0 for runs in self._runs_l_h())
        least_l = 0.0 if self.larger_unmeasured else least_l
        for agent, edges in self.strengths.items():
            slow, fast = (rate * elapsed_h for rate in self.rates(agent))
            self.strengths[agent] = [
                (low * exp(-fast - most_l / litres), high * exp(-slow - least_l / litres))
                for (low, high), litres in zip(edges, self.volumes_l, strict=True)
            ]
        self.hour = hour

    def _runs_l_h(self) -> Edges:
        """Return the least and the most that runs through all parts [L/h]."""
        least, most = zip(*self.inflows_l_h.values(), strict=True) if self.inflows_l_h else ((), ())
        return sum(least), sum(most)

    def shut(self, for_h: float) -> None:
        """Shut what runs through for some hours from now [h]."""
        self.shut_until_h = max(self.shut_until_h, self.hour + for_h)

    def put_in(self, agent: str, low_mg: float, high_mg: float) -> None:
        """Put in a mass that lies between two amounts [mg]; equal when it is known."""
        more = [(low_mg / litres, high_mg / litres) for litres in self.volumes_l]
        self._raise(agent, more)

    def put_in_strength(self, agent: str, low_mg_l: float, high_mg_l: float) -> None:
        """Put in what gives this strength in whatever water there is [mg/L]."""
        self._raise(agent, [(low_mg_l, high_mg_l)] * len(self.volumes_l))

    def put_in_unknown(self, agent: str) -> None:
        """Put in an amount that nobody knows: no high edge until it is read or changed out."""
        self._raise(agent, [NOTHING] * len(self.volumes_l))
        self.unknown.add(agent)

    def exchange(
        self, litres: float, new: Mapping[str, float] | None = None, *, surely: bool = True
    ) -> None:
        """Let water out and fill up with new water of the strengths ``new`` [mg/L].

        When nobody knows whether it was done (``surely`` False) the high edge stays.
        """
        coming = new or {}
        for agent in {*self.strengths, *coming}:
            edges = self.strengths.get(agent, [NOTHING] * len(self.volumes_l))
            fresh = coming.get(agent, 0.0)
            left = [1 - min(1.0, litres / volume_l) for volume_l in self.volumes_l]
            self.strengths[agent] = [
                (
                    self._least(low, fresh, stays),
                    self._most(high, fresh, stays) if surely else max(high, fresh),
                )
                for (low, high), stays in zip(edges, left, strict=True)
            ]
        if surely and litres >= self.volume.larger_l and not self.larger_unmeasured:
            self.unknown.clear()

    def _least(self, low: float, fresh: float, stays: float) -> float:
        changed = low * stays + fresh * (1 - stays)
        return min(low, changed) if self.larger_unmeasured else changed

    def _most(self, high: float, fresh: float, stays: float) -> float:
        changed = high * stays + fresh * (1 - stays)
        return max(high, changed) if self.larger_unmeasured else changed

    def receive(
        self,
        litres: float,
        coming: Mapping[str, tuple[Edges, Edges, Edges]],
        unknown: Collection[str],
        *,
        room_made: bool | None,
    ) -> None:
        """Take in water with what is in it.

        ``c (1 - v/V) + c' v/V`` where as much was let out first, ``c + c' v/V`` where it came on
        top; the low edge of the one and the high edge of the other where nobody said.

        Args:
            litres: how much came, v [L].
            coming: strength c' of each agent at both edges, for each of the volumes [mg/L].
            unknown: agents of which nobody knows how much came.
            room_made: whether as much was let out first; None: nobody said.
        """
        if room_made is not False:
            self.exchange(litres, surely=room_made is True)
        for agent, edges in coming.items():
            shares = [min(1.0, litres / volume_l) for volume_l in self.volumes_l]
            more = [(low * share, high * share)
                    for (low, high), share in zip(edges, shares, strict=True)]  # fmt: skip
            if any(high > 0 for _, high in edges):
                self._raise(agent, more)
                if self.larger_unmeasured:
                    self.put_in_unknown(agent)
        for agent in unknown:
            self.put_in_unknown(agent)

    def read(self, agent: str, low_mg_l: float, high_mg_l: float) -> None:
        """Enter a reading with its width; it replaces both edges in every volume."""
        self.strengths[agent] = [(low_mg_l, high_mg_l)] * len(self.volumes_l)
        self.unknown.discard(agent)

    def may_hold(self, agent: str) -> bool:
        """Whether there may be some of an agent."""
        edges = self.strengths.get(agent, [])
        return agent in self.unknown or any(high > 0 for _, high in edges)

    def at_most(self, agent: str, high_mg_l: float) -> None:
        """Enter a reading that bears on an agent: no more than this can be there [mg/L]."""
        there = self.strengths.get(agent, [NOTHING] * len(self.volumes_l))
        if agent in self.unknown:
            there = [(low, high_mg_l) for low, _ in there]
        self.strengths[agent] = [(min(low, high_mg_l), min(high, high_mg_l)) for low, high in there]
        self.unknown.discard(agent)

    def of(self, agent: str) -> InWater:
        """Return what is there of one agent; without a high edge where nobody knows."""
        smaller, point, larger = self.strengths.get(agent, [NOTHING] * len(self.volumes_l))
        lost = agent in self.unknown
        return InWater(
            agent,
            None if lost else point[0],
            None if lost else point[1],
            self.put_in_h.get(agent, self.hour),
            None if lost else (smaller, point, larger),
        )

    def in_water(self) -> tuple[InWater, ...]:
        """Return everything of which there may be something, in the order it was put in."""
        return tuple(self.of(agent) for agent in self.strengths if self.may_hold(agent))

    def parted(
        self, volume: Volume, rates: LossRates, *, larger_unmeasured: bool = False
    ) -> WaterAccount:
        """Return the account of a part that is joined no longer: every strength stays."""
        return replace(
            self,
            volume=volume,
            rates=rates,
            strengths={agent: list(edges) for agent, edges in self.strengths.items()},
            unknown=set(self.unknown),
            put_in_h=dict(self.put_in_h),
            inflows_l_h=dict(self.inflows_l_h),
            larger_unmeasured=larger_unmeasured,
        )

    def forget_low_edges(self) -> None:
        """Count nothing as surely there: some of it may have gone where nobody measured."""
        for agent, edges in self.strengths.items():
            self.strengths[agent] = [(0.0, high) for _, high in edges]

    def _raise(self, agent: str, more: list[Edges]) -> None:
        there = self.strengths.get(agent, [NOTHING] * len(self.volumes_l))
        self.strengths[agent] = [
            (low + low_more, high + high_more)
            for (low, high), (low_more, high_more) in zip(there, more, strict=True)
        ]
        self.put_in_h[agent] = self.hour


def mixed(parts: Sequence[WaterAccount], volume: Volume, rates: LossRates) -> WaterAccount:
    """Return the account of waters that are joined: the masses add.

    Mixing: ``c = sum(c_i V_i) / sum(V_i)``, in the smaller, the point and the larger volumes.

    Args:
        parts: the accounts of the waters, told up to one hour.
        volume: the water of all parts together.
        rates: how fast an agent leaves the joined water by itself.
    """
    whole = WaterAccount(volume, rates, parts[0].hour)
    for part in parts:
        for agent, edges in part.strengths.items():
            shares = [
                own_l / all_l for own_l, all_l in zip(part.volumes_l, whole.volumes_l, strict=True)
            ]
            coming = [
                (low * share, high * share)
                for (low, high), share in zip(edges, shares, strict=True)
            ]
            whole._raise(agent, coming)
            told_h = [other.put_in_h[agent] for other in parts if agent in other.put_in_h]
            whole.put_in_h[agent] = max(told_h, default=part.hour)
        whole.unknown |= part.unknown
        whole.inflows_l_h |= part.inflows_l_h
    return whole
