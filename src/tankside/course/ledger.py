"""The account kept while a course declares itself: what was put in, at the point volume."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tankside.claims import Knowledge
from tankside.course.action import (
    Added,
    Effect,
    Exchanged,
    Held,
    Measured,
    Weighed,
)
from tankside.course.caution import Caution, Level
from tankside.course.facts import Range, find_range
from tankside.course.label import LabelEntry
from tankside.course.limits import hard_limit
from tankside.course.printing import Request, placed, print_amount, refusal
from tankside.course.stock import StockGroup
from tankside.course.system import NewWater, System
from tankside.errors import Mistake

AGENT_PREFIX = "agent:"


@dataclass(slots=True)
class Account:
    """Running account of the agents in each body, told as if nothing were lost but by changes.

    It answers the ``Ledger`` questions of an action. ``action`` is the index of the action that
    is declaring itself.
    """

    systems: Mapping[str, System]
    stock: Mapping[str, StockGroup]
    facts: Knowledge
    labels: Mapping[str, LabelEntry]
    action: int = 0
    there: dict[tuple[str, str], float | None] = field(default_factory=dict)
    intended: dict[str, dict[str, float]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for system in self.systems.values():
            self.intended[system.id] = {}
            for found in system.residues:
                low, high = found.low_mg_l, found.high_mg_l
                middle = None if low is None or high is None else (low + high) / 2
                self.there[system.id, found.agent] = middle

    def volume_l(self, body: str) -> float:
        """Return the point volume of a body [L]."""
        return self.systems[body].volume.point_l

    def new_water(self, body: str) -> NewWater:
        """Return the new water this body is filled with."""
        return self.systems[body].new_water

    def body_name(self, body: str) -> str:
        """Return the name of a body as the keeper says it."""
        return self.systems[body].name

    def agent_name(self, agent: str) -> str:
        """Return an agent's plain name."""
        known = self.facts.agents.get(agent)
        return known.name if known else agent.replace("_", " ")

    def group_name(self, group: str) -> str:
        """Return a group's name."""
        return self.stock[group].name if group in self.stock else group

    def account_mg_l(self, body: str, agent: str) -> float | None:
        """Return what has been put in and not taken out again [mg/L]; None when not known."""
        return self.there.get((body, agent), 0.0)

    def intended_mg_l(self, body: str) -> Mapping[str, float]:
        """Return the strength that the course is holding of each agent [mg/L]."""
        return dict(self.intended[body])

    def number(self, key: str) -> Range | None:
        """Return (low, value, high) of a claim, or None when unknown."""
        return find_range(self.facts, key)

    def weigh(
        self, hour: int, body: str, agent: str, mg_l: float, for_l: float, route: str = "prolonged"
    ) -> Weighed:
        """Work out an amount for ``for_l`` litres at ``mg_l``, or say why there is none."""
        label = self.labels.get(agent)
        exact_mg = mg_l * for_l
        if label is None:
            return Weighed(exact_mg, None, _no_label(self, hour, body, agent))
        request = self._request(body, agent, mg_l, for_l, route)
        try:
            amount = print_amount(request, label)
        except Mistake as refused:
            caution = refusal(refused, self.action, hour, body, request)
            return Weighed(exact_mg, None, caution)
        return Weighed(float(amount.active_mg), placed(amount, self.action, hour, body), None)

    def _request(self, body: str, agent: str, mg_l: float, for_l: float, route: str) -> Request:
        volume = self.systems[body].volume
        whole = for_l == volume.point_l
        known = self.facts.agents.get(agent)
        there = self.account_mg_l(body, agent) if whole else 0.0
        return Request(
            agent=agent,
            agent_name=self.agent_name(agent),
            basis=known.basis if known else "",
            strength_mg_l=mg_l,
            for_l=for_l,
            limit_l=volume.smaller_l if whole else for_l,
            there_mg_l=there or 0.0,
            limit=hard_limit(self.facts, agent, route),
        )

    def apply(self, effect: Effect) -> None:
        """Enter one effect into the account."""
        match effect:
            case Added(body, agent, mg):
                before = self.there.get((body, agent), 0.0)
                added = mg / self.volume_l(body)
                self.there[body, agent] = None if before is None else before + added
            case Held(body, agent, mg_l):
                self.intended[body][agent] = mg_l
            case Exchanged(body, litres, _):
                self._dilute(body, litres)
            case Measured(body, values):
                for name, value in values.items():
                    if name.startswith(AGENT_PREFIX):
                        self.there[body, name.removeprefix(AGENT_PREFIX)] = value
            case _:
                pass

    def _dilute(self, body: str, litres: float) -> None:
        keep = 1 - min(1.0, litres / self.volume_l(body))
        for (where, agent), value in self.there.items():
            if where == body and value is not None:
                self.there[where, agent] = value * keep


def _no_label(account: Account, hour: int, body: str, agent: str) -> Caution:
    return Caution(
        Level.NOTE,
        "E-PROD-01",
        f"No amount of {account.agent_name(agent)} is shown: no label has been entered.",
        "An amount needs the strength, its basis and the tool that measures it.",
        "",
        "Read the label and name the scale or syringe.",
        hour=hour,
        body=body,
        agent=agent,
        action=account.action,
    )
