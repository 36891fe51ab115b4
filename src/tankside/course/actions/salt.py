"""Raise the salt in steps, counting the salt that is already in the water."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.actions.inflow import shut_inflow
from tankside.course.bodies.effects import SALT, AgentAdded, Held
from tankside.course.bodies.words import show
from tankside.quantity.per import MG_PER_G


@dataclass(frozen=True, slots=True)
class SaltTo:
    """Bring the salt account up to ``to_g_l``; later steps put right what rounding left.

    Args:
        at_h: elapsed hour.
        body: body of water.
        to_g_l: salt in the water after this step, what was there before included [g/L].
        agent: id of the salt.
        reason: why the soft limit may be passed, as typed; "" when it is not.
    """

    kind: ClassVar[str] = "salt"

    at_h: int
    body: str
    to_g_l: float
    agent: str = SALT
    reason: str = ""

    def declare(self, ledger: Ledger) -> Declared:
        """Add the difference between the target and the salt account."""
        there_mg_l = ledger.account_mg_l(self.body, self.agent) or 0.0
        add_mg_l = self.to_g_l * MG_PER_G - there_mg_l
        name = ledger.agent_name(self.agent)
        held = Held(self.body, self.agent, self.to_g_l * MG_PER_G, self.reason)
        if not add_mg_l > 0:
            return Declared((held,), f"No {name} today: the salt account is already at this step.")
        litres = ledger.volume_l(self.body)
        weighed = ledger.weigh(
            self.at_h, self.body, self.agent, add_mg_l, litres,
            reason=self.reason, meant_mg_l=self.to_g_l * MG_PER_G,
        )  # fmt: skip
        shut, first = shut_inflow(ledger, self.body)
        text = (
            f"{first}{weighed.stirred(name)}; pour it in slowly "
            f"({ledger.body_name(self.body)}, {show(litres, 'L')}), away from the fish and plants. "
            f"The water then holds {show(self.to_g_l, 'g/L')}."
        )
        return Declared(
            (
                *shut,
                AgentAdded(self.body, self.agent, weighed.active_mg, True, reason=self.reason),
                held,
            ),
            text,
            amounts=weighed.amounts,
            cautions=weighed.cautions,
        )


def salt_steps(
    at_h: int,
    body: str,
    to_g_l: float,
    steps: int,
    every_h: int,
    from_g_l: float = 0.0,
    reason: str = "",
) -> tuple[SaltTo, ...]:
    """Return equal steps from ``from_g_l`` (what is already there) to ``to_g_l``.

    ``reason`` is what was typed for passing the soft limit.
    """
    rise = to_g_l - from_g_l
    return tuple(
        SaltTo(at_h + n * every_h, body, from_g_l + rise * (n + 1) / steps, reason=reason)
        for n in range(steps)
    )
