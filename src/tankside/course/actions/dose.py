"""Put an agent into the water at a strength told on the agent's own basis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.actions.inflow import shut_inflow
from tankside.course.bodies.effects import AgentAdded, Held
from tankside.course.bodies.words import show


@dataclass(frozen=True, slots=True)
class Dose:
    """Add ``strength_mg_l`` of an agent to the whole body.

    Args:
        at_h: elapsed hour.
        body: body of water.
        agent: agent id.
        strength_mg_l: strength to add, on the agent's basis [mg/L].
        counting_residue: subtract what the account says is still there (bring up to strength).
        route: "prolonged" or, with an end (a timed bath of the whole tank), "bath".
        minutes: length of a timed bath [min]; None when prolonged.
        reason: why the soft limit may be passed, as typed; "" when it is not.
    """

    kind: ClassVar[str] = "dose"

    at_h: int
    body: str
    agent: str
    strength_mg_l: float
    counting_residue: bool = False
    route: str = "prolonged"
    minutes: float | None = None
    reason: str = ""

    def declare(self, ledger: Ledger) -> Declared:
        """Add the printed amount; the words name the amount, the water and the strength."""
        there = ledger.account_mg_l(self.body, self.agent) if self.counting_residue else 0.0
        add_mg_l = max(0.0, self.strength_mg_l - (there or 0.0))
        name = ledger.agent_name(self.agent)
        litres = ledger.volume_l(self.body)
        held = Held(self.body, self.agent, self.strength_mg_l, self.reason)
        if not add_mg_l > 0:
            return Declared(
                (held,),
                f"No {name} today: the account is already at strength.",
            )
        weighed = ledger.weigh(
            self.at_h, self.body, self.agent, add_mg_l, litres, self.route, self.reason,
            self.strength_mg_l,
        )  # fmt: skip
        shut, first = shut_inflow(ledger, self.body)
        text = (
            f"{first}{weighed.stirred(name)}; pour it in slowly "
            f"({ledger.body_name(self.body)}, {show(litres, 'L')})."
        )
        added = AgentAdded(
            self.body, self.agent, weighed.active_mg, True, self.route, self.minutes, self.reason
        )
        return Declared(
            (*shut, added, held),
            text,
            amounts=weighed.amounts,
            cautions=weighed.cautions,
        )
