"""One body of water by hand: masses in three volumes, each with a low and a high edge."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Context, Decimal
from fractions import Fraction
from functools import cache

from tests.reckoner.printed_rates import Printed, Shelf

PLACES = range(3)
"""The smaller, the point and the larger volume."""
DIGITS = Context(prec=45)
"""Where something decays: 45 digits, of which the comparison uses nine."""
POINT = 1
Volumes = tuple[Fraction, Fraction, Fraction]
Edges = tuple[Fraction, Fraction]
Mass = tuple[Edges, Edges, Edges]
"""(low, high) [mg] in each of the three volumes."""
NOTHING: Mass = ((Fraction(0),) * 2,) * 3


def everywhere(low_mg: Fraction, high_mg: Fraction) -> Mass:
    """Return a mass that is the same whatever the volume is."""
    return ((low_mg, high_mg),) * 3


def plus(first: Mass, second: Mass) -> Mass:
    small, point, large = ((first[k][0] + second[k][0], first[k][1] + second[k][1]) for k in PLACES)
    return small, point, large


def scaled(mass: Mass, shares: Iterable[Edges]) -> Mass:
    """Return the mass with every edge multiplied."""
    small, point, large = (
        (low * share[0], high * share[1]) for (low, high), share in zip(mass, shares, strict=True)
    )
    return small, point, large


@cache
def remaining(rate_per_h: Decimal, minutes: int) -> Fraction:
    """Return exp(-rate t) to 45 digits."""
    hours = DIGITS.divide(Decimal(minutes), Decimal(60))
    return Fraction(DIGITS.exp(-DIGITS.multiply(rate_per_h, hours)))


@cache
def rate_of(half_life_h: Decimal) -> Decimal:
    return DIGITS.divide(DIGITS.ln(Decimal(2)), half_life_h)


def shortened(number: Fraction) -> Fraction:
    """Return a number cut to 45 digits, so that it does not grow without end."""
    return Fraction(DIGITS.divide(Decimal(number.numerator), Decimal(number.denominator)))


@dataclass
class Pool:
    """What is in water that is joined: a body.

    ``volumes`` is None when a part of it was never measured. ``unknown`` holds the agents of which
    more may be there than anybody can say.
    """

    members: frozenset[str]
    volumes: Volumes | None
    content: dict[str, Mass] = field(default_factory=dict)
    unknown: set[str] = field(default_factory=set)

    def put_in(self, agent: str, mass: Mass) -> None:
        self.content[agent] = plus(self.content.get(agent, NOTHING), mass)

    def exchange(self, litres: Fraction) -> None:
        """Take litres of the mixed water out and put clean water in."""
        if self.volumes is None:
            self.unknown |= set(self.content)
            return
        left = [max(Fraction(0), 1 - litres / volume) for volume in self.volumes]
        for agent, mass in self.content.items():
            self.content[agent] = scaled(mass, [(share, share) for share in left])
        if litres >= self.volumes[2]:
            self.unknown.clear()

    def let_out(self, litres: Fraction, *, surely: bool) -> None:
        """Take litres out and put clean water in, or perhaps not: then all may still be there."""
        before, unknown = dict(self.content), set(self.unknown)
        self.exchange(litres)
        if not surely:
            self.unknown = unknown
            for agent, mass in before.items():
                small, point, large = (
                    (changed[0], there[1])
                    for changed, there in zip(self.content[agent], mass, strict=True)
                )
                self.content[agent] = (small, point, large)

    def take_in(self, agent: str, litres: Fraction, strength: Mass) -> None:
        """Take in what is in some litres, no more than fills it."""
        if self.volumes is None:
            return
        came = [min(litres, volume) for volume in self.volumes]
        self.put_in(agent, scaled(strength, [(part, part) for part in came]))

    def age(self, minutes: int, carbon_may_be_in: bool, shelf: Shelf) -> None:
        """Let what decays decay: the high edge as slowly, the low one as fast as may be."""
        for agent, mass in self.content.items():
            slow, fast = edge_rates(shelf.agents[agent], carbon_may_be_in, shelf)
            if fast == 0:
                continue
            shares = (remaining(fast, minutes), remaining(slow, minutes))
            self.content[agent] = tidy(scaled(mass, [shares] * 3))

    def strengths(self, agent: str) -> Mass | None:
        """Return (low, high) [mg/L] in each volume; None where nobody can say."""
        if self.volumes is None or agent in self.unknown:
            return None
        mass = self.content.get(agent, NOTHING)
        return scaled(mass, [(1 / volume, 1 / volume) for volume in self.volumes])

    def part(self, members: frozenset[str], volumes: Volumes | None) -> Pool:
        """Return what goes with some of the water when it is parted: the strength stays."""
        if volumes is None or self.volumes is None:
            there = {agent for agent, mass in self.content.items() if mass != NOTHING}
            return Pool(members, volumes, {}, self.unknown | there)
        shares = [(mine / whole,) * 2 for mine, whole in zip(volumes, self.volumes, strict=True)]
        content = {agent: scaled(mass, shares) for agent, mass in self.content.items()}
        return Pool(members, volumes, content, set(self.unknown))

    def join(self, other: Pool) -> None:
        """Take in another water: masses add, and so do volumes."""
        for agent, mass in other.content.items():
            self.put_in(agent, mass)
        self.unknown |= other.unknown
        self.members |= other.members


def tidy(mass: Mass) -> Mass:
    small, point, large = ((shortened(low), shortened(high)) for low, high in mass)
    return small, point, large


def edge_rates(agent: Printed, carbon_may_be_in: bool, shelf: Shelf) -> tuple[Decimal, Decimal]:
    """Return (slow, fast) [1/h]; salt leaves only with water, what has no figure may be lasting."""
    if agent.id == "sodium_chloride":
        return Decimal(0), Decimal(0)
    if agent.half_life_h is None:
        slow, fast = Decimal(0), rate_of(shelf.feared_half_life_h)
    else:
        fast, slow = (rate_of(half_life) for half_life in agent.half_life_h)
    taken_up = shelf.carbon_per_h if carbon_may_be_in and agent.carbon else Decimal(0)
    # No history tells of rock or sand: what it takes up may be lost.
    return slow, DIGITS.add(DIGITS.add(fast, taken_up), agent.rock_per_h)


def carry(source: Pool, target: Pool, keys: dict[str, str], litres: Fraction) -> None:
    """Carry water over with its strength; what nobody said counts at both edges."""
    if source is target or source.volumes is None:
        return
    there = {agent: scaled(mass, [(1 / volume,) * 2 for volume in source.volumes])
             for agent, mass in source.content.items()}  # fmt: skip
    lost = set(source.unknown)
    if keys.get("room-made") != "no":
        target.let_out(litres, surely=keys.get("room-made") == "yes")
    for agent, (small, point, large) in there.items():
        outer = min(small[0], point[0], large[0]), max(small[1], point[1], large[1])
        target.take_in(agent, litres, (outer, point, outer))
    target.unknown |= lost
    for agent in lost:
        target.put_in(agent, NOTHING)
    if keys.get("refilled") != "no":
        source.let_out(litres, surely=keys.get("refilled") == "yes")
