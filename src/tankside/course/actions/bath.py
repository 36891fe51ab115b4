"""A timed bath or dip in a separate container."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.bodies.tank_hours import Channel, TimedEvent
from tankside.course.bodies.words import show


@dataclass(frozen=True, slots=True)
class Bath:
    """Give ``group`` some minutes in other water and bring it back.

    Args:
        at_h: elapsed hour.
        body: body the fish live in.
        group: group of animals.
        bath_body: id of the bath's own body of water (its volume is dosed).
        agent: agent id ("" = plain water, for example fresh water for sea fish).
        strength_mg_l: strength of the bath, on the agent's basis [mg/L].
        minutes: time in it [min].
        route: "bath" or "dip", the route under which its limits are looked up.
        reason: why the soft limit may be passed, as typed; "" when it is not.
    """

    kind: ClassVar[str] = "bath"

    at_h: int
    body: str
    group: str
    bath_body: str
    agent: str
    strength_mg_l: float
    minutes: float
    route: str = "bath"
    reason: str = ""

    def declare(self, ledger: Ledger) -> Declared:
        """Dose the bath's water only and tell the event."""
        event = TimedEvent(
            self.at_h, self.body, Channel.BATH, group=self.group, to_body=self.bath_body,
            agent=self.agent, amount=self.strength_mg_l, unit="mg/L", minutes=self.minutes,
            route=self.route,
        )  # fmt: skip
        stay = (
            f"Put {ledger.group_name(self.group)} in for {show(self.minutes, 'min')} and stay "
            "beside it. Roll over or gasp: back at once into clean water of the same "
            "temperature. This is not an alarm clock."
        )
        litres = ledger.volume_l(self.bath_body)
        fill = f"Fill {ledger.body_name(self.bath_body)} with {show(litres, 'L')}"
        if not self.agent:
            recipe = ledger.recipe(self.bath_body, litres, ledger.new_water(self.bath_body))
            return Declared((), f"{fill}, air on. {recipe} {stay}", events=(event,))
        weighed = ledger.weigh(
            self.at_h, self.bath_body, self.agent, self.strength_mg_l, litres, self.route,
            self.reason, who=self.group,
        )  # fmt: skip
        text = (
            f"{fill} of water from {ledger.body_name(self.body)}, air on; stir in "
            f"{weighed.of(ledger.agent_name(self.agent))}. {stay} "
            f"Then pour it away. {ledger.let_out(self.bath_body, self.agent)}"
        )
        return Declared(
            (),
            text,
            events=(event,),
            amounts=weighed.amounts,
            cautions=weighed.cautions,
        )
