"""The running account of waters that are joined and parted: one account for each body at a time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tankside.claims import Knowledge
from tankside.course.amounts.water_account import NO_RUN, Edges, LossRates, WaterAccount, mixed
from tankside.course.bodies.system import InWater
from tankside.course.bodies.volume import Volume, added
from tankside.course.water.residues import loss_of
from tankside.intake.account import CarbonTold, Movement
from tankside.intake.joined_waters import Joining
from tankside.intake.pooled_water import anywhere

Body = frozenset[str]
NOMINAL = Volume(1.0, 1.0, 1.0, "not measured")
"""Stands for water nobody measured; whatever is put into it is of unknown strength."""


@dataclass(frozen=True, slots=True)
class PartOfWater:
    """What the account must know of one system.

    Args:
        volume: how much water is in it; None when nobody measured it.
        carbon: what was told of carbon in its filter, in order of time.
        substrate: whether rock, sand or gravel is in it; None when nobody said.
        runs_before_l_h: the least and the most new water that ran through before that was told.
    """

    volume: Volume | None
    carbon: tuple[CarbonTold, ...]
    runs_before_l_h: Edges = NO_RUN
    substrate: bool | None = None

    def carbon_at(self, hour: float) -> bool | None:
        """Whether carbon is in its filter at an hour; None when nobody said or knows."""
        answers = [is_in for told_h, is_in in self.carbon if told_h <= hour]
        return answers[-1] if answers else None


class JoinedAccount:
    """What is in every body of water while waters are joined and parted.

    Args:
        facts: what is known of how agents leave by themselves.
        parts: every system that was ever joined to one of the others.
        begins_h: elapsed hour at which nothing was entered yet; each system stands alone.
    """

    def __init__(self, facts: Knowledge, parts: Mapping[str, PartOfWater], begins_h: float) -> None:
        self._facts = facts
        self._parts = parts
        self._hour = begins_h
        self._accounts: dict[Body, WaterAccount] = {}
        for system, part in parts.items():
            body = frozenset((system,))
            account = WaterAccount(self._volume(body), self._rates(body), begins_h)
            account.inflows_l_h[system] = part.runs_before_l_h
            account.larger_unmeasured = part.volume is None
            self._accounts[body] = account

    def pass_to(self, hour: float) -> None:
        """Let time go by in every water."""
        for account in self._accounts.values():
            account.pass_to(hour)
        self._hour = hour

    def of(self, system: str) -> WaterAccount:
        """Return the account of the body of water that a system belongs to."""
        return self._accounts[self._body(system)]

    def regroup(self, joining: Joining) -> None:
        """Join and part the waters as an entry tells: parts keep the strength, masses add."""
        bodies = {joining.body_of(system).intersection(self._parts) for system in self._parts}
        self._accounts = {body: self._made(body) for body in bodies}

    def _made(self, body: Body) -> WaterAccount:
        if body in self._accounts:
            return self._accounts[body]
        coming: dict[Body, set[str]] = {}
        for system in body:
            coming.setdefault(self._body(system), set()).add(system)
        pieces = [self._piece(old, frozenset(part)) for old, part in coming.items()]
        whole = mixed(pieces, self._volume(body), self._rates(body))
        whole.larger_unmeasured = not self._measured(body)
        return whole

    def _piece(self, old: Body, part: Body) -> WaterAccount:
        """Return the account of the part of a body that goes on in another one."""
        piece = self._accounts[old].parted(
            self._volume(part), self._rates(part), larger_unmeasured=not self._measured(part)
        )
        piece.inflows_l_h = {system: piece.inflows_l_h[system] for system in part}
        if not self._measured(old) and part != old:
            piece.forget_low_edges()
        if not any(self._parts[system].volume for system in part):
            for agent in list(piece.strengths):
                piece.put_in_unknown(agent)
        return piece

    def _body(self, system: str) -> Body:
        return next(body for body in self._accounts if system in body)

    def _measured(self, body: Body) -> bool:
        return all(self._parts[system].volume is not None for system in body)

    def _volume(self, body: Body) -> Volume:
        there = [self._parts[system].volume for system in sorted(body)]
        return added([volume for volume in there if volume is not None] or [NOMINAL])

    def _rates(self, body: Body) -> LossRates:
        substrate = anywhere(self._parts[system].substrate for system in body)

        def rates(agent: str) -> Edges:
            carbon = anywhere(self._parts[system].carbon_at(self._hour) for system in body)
            loss = loss_of(self._facts, agent, substrate=substrate)
            return loss.slow, loss.fast + (0.0 if carbon is False else loss.carbon_fast)

        return rates


def balance(
    facts: Knowledge,
    parts: Mapping[str, PartOfWater],
    movements: Iterable[Movement],
    joinings: Iterable[tuple[float, Joining]],
    system: str,
    upto_h: float,
) -> tuple[InWater, ...]:
    """Return what is in the body of one system at an hour, every movement up to then entered.

    The waters stand as they are joined at last, even where that was told after the hour.

    Args:
        facts: what is known of how agents leave by themselves.
        parts: every system that was ever joined to this one, and itself.
        movements: what went in and out of each, in any order.
        joinings: when the waters were joined and parted, in order.
        system: the water asked for.
        upto_h: elapsed hour.
    """
    changes = list(joinings)
    marks = [(hour, 0, None) for part in parts.values() for hour, _ in part.carbon]
    steps: list[tuple[float, int, Movement | Joining | None]] = [
        *marks,
        *((hour, joining.entry, joining) for hour, joining in changes),
        *((movement.at_h, movement.entry, movement) for movement in movements),
    ]
    begins = min((hour for hour, *_ in steps), default=upto_h)
    account = JoinedAccount(facts, parts, begins)
    for hour, _, step in sorted(steps, key=lambda step: step[:2]):
        if hour > upto_h:
            break
        account.pass_to(hour)
        if isinstance(step, Joining):
            account.regroup(step)
        elif step is not None and step.pour is not None:
            step.pour(account.of(step.source), account.of(step.system))
        elif step is not None:
            step.enter(account.of(step.system))
    account.pass_to(upto_h)
    for _, joining in changes[-1:]:
        account.regroup(joining)
    return account.of(system).in_water()
