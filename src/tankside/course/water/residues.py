"""How fast an agent leaves the water by itself, as a bracket; salt leaves only with water."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tankside.claims import Knowledge, setting
from tankside.course.bodies.effects import SALT
from tankside.course.bodies.facts import find_number, find_range, find_text
from tankside.course.bodies.tank_hours import Hourly

LOW_EDGE_HALF_LIFE_KEY = "practice.course.shortest_half_life"
CARBON_KEY = "practice.course.carbon_loss"
HELD_BY_CARBON = ("removes", "partly")
NOT_HELD = "does_not"
GONE_PER_H = setting(1000.0, "a rate at which nothing is left after an hour")


@dataclass(frozen=True, slots=True)
class Loss:
    """Loss rates of one agent [1/h].

    ``slow`` is the least that is sure (0 where no rate is known, which is nearly always) and
    gives the high edge; ``fast`` is the most that must be feared and gives the low edge. The
    carbon rates are added while carbon is in the water.
    """

    slow: float
    fast: float
    carbon_slow: float
    carbon_fast: float

    def retained(self, carbon: Hourly) -> tuple[Hourly, Hourly]:
        """Return the share left after each hour at (low edge, high edge)."""
        low = np.exp(-(self.fast + self.carbon_fast * carbon))
        high = np.exp(-(self.slow + self.carbon_slow * carbon))
        return low, high


def loss_of(facts: Knowledge, agent: str, *, substrate: bool | None = None) -> Loss:
    """Return the loss bracket of an agent from its claims.

    Args:
        facts: what is known.
        agent: agent id.
        substrate: whether rock, sand or gravel is in the water; None when nobody said.

    A known half-life bounds both edges. Where none is known nothing is lost at the high edge,
    and at the low edge the shortest half-life that practice reckons with is taken (nothing is
    left after one hour when even that is not stated). Carbon acts only on agents it is said to
    hold, and at the high edge only with a rate that is known. Rock and sand act likewise, at the
    high edge only where they are known to be there.
    """
    if agent == SALT:
        return Loss(0.0, 0.0, 0.0, 0.0)
    slow, fast = _own_rates(facts, agent)
    taken_up = find_range(facts, f"agent.{agent}.loss.substrate")
    if taken_up is not None and substrate is not False:
        slow += taken_up[0] if substrate else 0.0
        fast += taken_up[2]
    carbon = find_range(facts, CARBON_KEY)
    held = find_text(facts, f"agent.{agent}.removal.carbon")
    if held == NOT_HELD:
        return Loss(slow, fast, 0.0, 0.0)
    if carbon is None:
        return Loss(slow, fast, 0.0, GONE_PER_H)
    sure = carbon[0] if held in HELD_BY_CARBON else 0.0
    return Loss(slow, fast, sure, carbon[2])


def _own_rates(facts: Knowledge, agent: str) -> tuple[float, float]:
    """Return (slow, fast) rates [1/h] without carbon."""
    half_life_h = find_range(facts, f"agent.{agent}.half_life")
    if half_life_h is not None and half_life_h[0] > 0:
        return math.log(2) / half_life_h[2], math.log(2) / half_life_h[0]
    shortest_h = find_number(facts, LOW_EDGE_HALF_LIFE_KEY)
    return 0.0, GONE_PER_H if not shortest_h else math.log(2) / shortest_h
