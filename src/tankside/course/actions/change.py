"""Take water out and put new water back; only the new water is dosed, never the whole again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.course.actions.action import Declared, Ledger
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.bodies.caution import Caution
from tankside.course.bodies.effects import AgentAdded, Effect, Exchanged, Held
from tankside.course.bodies.system import NewWater
from tankside.course.bodies.tank_hours import Channel, TimedEvent
from tankside.course.bodies.words import show

UNNAMED = "the tank"
"""What the main water is called where nobody gave it a name: it goes without saying."""


@dataclass(frozen=True, slots=True)
class WaterChange:
    """Replace ``litres`` with new water.

    Args:
        at_h: elapsed hour.
        body: body of water.
        litres: taken out and put back [L].
        put_back: dose the new water to the strength the course is holding of each agent.
        new_water: what is put in; the system's own new water when None.
        but_not: agents that are not put back (for example at their removal).
    """

    kind: ClassVar[str] = "water_change"

    at_h: int
    body: str
    litres: float
    put_back: bool = True
    new_water: NewWater | None = None
    but_not: tuple[str, ...] = ()

    def declare(self, ledger: Ledger) -> Declared:
        """Exchange, then add the amount to put back for the new water only."""
        new_water = self.new_water or ledger.new_water(self.body)
        back = put_back(
            ledger, self.at_h, self.body, self.litres, self.but_not if self.put_back else None
        )
        share = min(1.0, self.litres / ledger.volume_l(self.body))
        event = TimedEvent(
            self.at_h, self.body, Channel.WATER_REMOVED, share_low=share, share=share,
            share_high=share,
        )  # fmt: skip
        return Declared(
            (Exchanged(self.body, self.litres, new_water), *back.effects),
            change_words(ledger, self.body, self.litres, back, new_water),
            events=(event,),
            amounts=back.amounts,
            cautions=back.cautions,
        )


@dataclass(frozen=True, slots=True)
class PutBack:
    """What goes back with new water."""

    effects: tuple[Effect, ...]
    amounts: tuple[PrintedAmount, ...]
    cautions: tuple[Caution, ...]
    words: tuple[str, ...]


def put_back(
    ledger: Ledger, hour: int, body: str, litres: float, but_not: tuple[str, ...] | None
) -> PutBack:
    """Work out what to stir into ``litres`` of new water (nothing when ``but_not`` is None)."""
    effects: list[Effect] = []
    amounts: list[PrintedAmount] = []
    cautions: list[Caution] = []
    words: list[str] = []
    keep = 1 - min(1.0, litres / ledger.volume_l(body))
    for agent, mg_l in ledger.intended_mg_l(body).items():
        if but_not is None or agent in but_not:
            effects.append(Held(body, agent, mg_l * keep))
            continue
        if not mg_l > 0:
            continue
        weighed = ledger.weigh(hour, body, agent, mg_l, litres)
        effects.append(AgentAdded(body, agent, weighed.active_mg))
        words.append(weighed.of(ledger.agent_name(agent)))
        amounts += weighed.amounts
        cautions += weighed.cautions
    return PutBack(tuple(effects), tuple(amounts), tuple(cautions), tuple(words))


def change_words(ledger: Ledger, body: str, litres: float, back: PutBack, new: NewWater) -> str:
    """Say a change in trade words: where the old water may go, what the new water must be."""
    name = ledger.body_name(body)
    where = "" if name == UNNAMED else f" from {name}"
    out = f"Take out {show(litres, 'L')}{where} (to the tape)."
    dosed = f" with {' and '.join(back.words)} stirred in first" if back.words else ""
    into = f"Put back {show(litres, 'L')}{dosed}."
    parts = (out, ledger.let_out(body), into, ledger.recipe(body, litres, new))
    return " ".join(part for part in parts if part)
