"""Bring an agent to a strength by test: the step that adds or takes out, and the test itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tankside.claims import setting
from tankside.course.actions.action import Declared, Ledger
from tankside.course.actions.change import change_words, put_back
from tankside.course.actions.inflow import shut_inflow
from tankside.course.bodies.effects import AgentAdded, Exchanged, Held
from tankside.course.bodies.tank_hours import Channel, TimedEvent
from tankside.course.bodies.words import show

_SLACK = setting(1e-9, "a reading exactly at an end of the range is inside it")


@dataclass(frozen=True, slots=True)
class Titrate:
    """Bring an agent to ``to_mg_l``: add what is missing, or take water out above the range.

    What is missing is reckoned from the high edge of what may be there, so that the upper end is
    never passed; a reading taken before replaces the account. Inside the range nothing is done.

    Args:
        at_h: elapsed hour.
        body: body of water.
        agent: agent id.
        to_mg_l: strength after this step, on the agent's basis [mg/L].
        low_mg_l: lowest strength of the range; a step below it is one on the way up [mg/L].
        high_mg_l: strength never passed [mg/L].
        days: days inside the range that the course needs [d].
        reason: why the soft limit may be passed, as typed; "" when it is not.
    """

    kind: ClassVar[str] = "titrate"

    at_h: int
    body: str
    agent: str
    to_mg_l: float
    low_mg_l: float
    high_mg_l: float
    days: int = 0
    reason: str = ""

    def declare(self, ledger: Ledger) -> Declared:
        """Add, take out or leave alone, by what may be there at most."""
        there_mg_l = ledger.may_be_mg_l(self.body, self.agent)
        held = Held(self.body, self.agent, self.to_mg_l, self.reason)
        name = ledger.agent_name(self.agent)
        against = ledger.against_titration(self.at_h, self.body, self.agent)
        if there_mg_l is None:
            text = f"Add no {name}: nobody knows how much is there. Test it and enter the reading."
            return Declared((held,), text, cautions=against)
        if there_mg_l > self.high_mg_l * (1 + _SLACK):
            return self._take_out(ledger, there_mg_l, held)
        missing_mg = ledger.missing_mg(self.body, self.agent, self.to_mg_l, self.high_mg_l)
        enough_mg_l = min(self.to_mg_l, self.low_mg_l)
        if there_mg_l >= enough_mg_l * (1 - _SLACK) or not missing_mg > 0:
            text = f"Add no {name} now: the water holds enough for this step."
            return Declared((held,), text, cautions=against)
        litres = ledger.volume_l(self.body)
        weighed = ledger.weigh(
            self.at_h, self.body, self.agent, missing_mg / litres, litres,
            reason=self.reason, meant_mg_l=self.to_mg_l,
        )  # fmt: skip
        shut, first = shut_inflow(ledger, self.body)
        reaches = there_mg_l + weighed.active_mg / litres
        text = (
            f"{first}{weighed.stirred(name)}; pour it in slowly "
            f"({ledger.body_name(self.body)}, {show(litres, 'L')}). A test then reads at most "
            f"{ledger.as_tested(self.body, self.agent, reaches)}. If a test before this step does "
            f"not read {ledger.as_tested(self.body, self.agent, there_mg_l)}, enter it first: the "
            "amount is then another."
        )
        added = AgentAdded(self.body, self.agent, weighed.active_mg, True, reason=self.reason)
        return Declared(
            (*shut, added, held),
            text,
            amounts=weighed.amounts,
            cautions=(*weighed.cautions, *against),
        )

    def _take_out(self, ledger: Ledger, there_mg_l: float, held: Held) -> Declared:
        """Change so much water, without the agent, that the strength falls to the target."""
        litres = ledger.volume_l(self.body) * (1 - self.to_mg_l / there_mg_l)
        back = put_back(ledger, self.at_h, self.body, litres, (self.agent,))
        new_water = ledger.new_water(self.body)
        share = litres / ledger.volume_l(self.body)
        event = TimedEvent(
            self.at_h, self.body, Channel.WATER_REMOVED, share_low=share, share=share,
            share_high=share,
        )  # fmt: skip
        name = ledger.agent_name(self.agent)
        change = change_words(ledger, self.body, litres, back, new_water)
        text = (
            f"Too strong: {ledger.as_tested(self.body, self.agent, there_mg_l)}, at most "
            f"{ledger.as_tested(self.body, self.agent, self.high_mg_l)}. {change} No {name} "
            "into the new water; test again afterwards."
        )
        return Declared(
            (Exchanged(self.body, litres, new_water), *back.effects, held),
            text,
            events=(event,),
            amounts=back.amounts,
            cautions=back.cautions,
        )


@dataclass(frozen=True, slots=True)
class StrengthTest:
    """Ask for the strength of a titrated agent, read as the agent's file says.

    Args:
        at_h: elapsed hour.
        body: body of water.
        agent: agent id.
        reads: what the test must read ("free copper").
        unit: unit in which it is read.
        low: lower end of the range, as it is read.
        high: upper end, as it is read.
        note: how many days count so far, and when the course ends; "" before any test.
    """

    kind: ClassVar[str] = "strength_test"

    at_h: int
    body: str
    agent: str
    reads: str
    unit: str
    low: float
    high: float
    note: str = ""

    def declare(self, ledger: Ledger) -> Declared:
        """Ask for the reading and say what follows from it; it changes nothing."""
        text = (
            f"Test {self.reads} in {ledger.body_name(self.body)} and enter it: "
            f"{show(self.low, '')} to {show(self.high, self.unit)} is right and nothing is added. "
            "Outside, ask for this card again: it then gives the amount, or the water to take "
            "out. Carbon, resins and other adsorbents stay out."
        )
        return Declared((), f"{text} {self.note}".rstrip())
