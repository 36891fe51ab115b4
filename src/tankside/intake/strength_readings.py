"""Readings of copper and what each one says: of free copper, of all of it, or of nothing sure.

A kit for free copper reads bound (chelated) copper wrongly, and one for total copper says only
what may be free at most. Which agent is read how stands in its file (``titrate.reads``).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from tankside.case import CaseView, Reading
from tankside.case.done import ActionDone
from tankside.case.medicine import AgentInWater, DoseAsked, LabelRead
from tankside.claims import Agent, Knowledge
from tankside.claims.substance_names import resolve
from tankside.course.amounts.water_account import NOTHING, WaterAccount
from tankside.quantity import Kind
from tankside.quantity.moment import Moment

FREE, TOTAL = "free", "total"
UNIT = "mg/L as Cu"
READS = {"free copper": FREE, "total copper": TOTAL}
"""What a test must read, as agents' files tell it, by the form of the kit."""
Edges = tuple[float, float]


@dataclass(frozen=True, slots=True)
class CopperReading:
    """One reading of copper in one water.

    Args:
        entry: number of the entry.
        system: the water it was taken in.
        moment: when it was taken.
        mg_l: as it was read [mg/L as Cu].
        form: what the kit reads, free or total; None when nobody said.
        bound_there: whether the case tells of copper that is bound (chelated) in this water.
    """

    entry: int
    system: str
    moment: Moment
    mg_l: float
    form: str | None
    bound_there: bool

    @property
    def free(self) -> Edges | None:
        """Free copper at its low and its high edge; None where the reading does not tell."""
        if self.form is None and self.bound_there:
            return None
        return (0.0 if self.form == TOTAL else self.mg_l, self.mg_l)

    @property
    def bound(self) -> Edges | None:
        """Bound copper at both edges; None where the reading does not tell."""
        return (self.mg_l, self.mg_l) if self.form == TOTAL and self.bound_there else None

    def of(self, form: str) -> Edges | None:
        """Return the edges of free or of total copper."""
        return self.free if form == FREE else self.bound


def copper_readings(
    view: CaseView, facts: Knowledge, systems: Collection[str]
) -> Iterator[CopperReading]:
    """Yield every reading of copper in some joined waters, in the order of the entries."""
    bound = any(form == TOTAL for form, _ in _told_of(view, facts, systems))
    for test in view.water_tests:
        if test.system not in systems or test.sample != "tank":
            continue
        for line in test.readings:
            if line.what is Reading.COPPER and line.amount is not None:
                mg_l = line.amount.measured(Kind.COPPER).number(UNIT)
                yield CopperReading(
                    test.id, test.system, test.moment, mg_l, test.copper_form, bound
                )


def kit_reading(agent: Agent) -> tuple[str, float] | None:
    """Return what a test must read of an agent (free, total) and what one unit of it is worth.

    None where the agent's file names no reading.
    """
    reads = agent.find("titrate.reads")
    if reads is None or str(reads.value) not in READS:
        return None
    form = reads.conditions.get("form")
    factors = (
        claims[0].number()
        for short, claims in agent.claims.items()
        if short.startswith("form.") and claims[0].conditions.get("form") == form
    )
    return READS[str(reads.value)], next(factors, 1.0)


def agents_read(
    view: CaseView, facts: Knowledge, systems: Collection[str], form: str
) -> dict[str, float]:
    """Return the agents that a reading of one form speaks of, with what one unit is worth of each.

    Those the case tells of come first, the latest of them before the others: what is read is
    entered as that one.
    """
    named = [agent for kit, agent in _told_of(view, facts, systems) if kit == form]
    ordered = [*reversed(named), *(agent.id for agent in facts.agents.values())]
    worth: dict[str, float] = {}
    for name in ordered:
        read = kit_reading(facts.agents[name])
        if read is not None and read[0] == form:
            worth.setdefault(name, read[1])
    return worth


def _told_of(view: CaseView, facts: Knowledge, systems: Collection[str]) -> list[tuple[str, str]]:
    """Return (form, agent) of every copper the case tells of, in order of the entries."""
    forms = []
    for line in view.history:
        entry = line.current
        if not isinstance(entry, LabelRead | DoseAsked | AgentInWater | ActionDone):
            continue
        if not entry.agent or getattr(entry, "system", None) not in (None, *systems):
            continue
        agent = resolve(facts, entry.agent).agent
        read = None if agent is None else kit_reading(agent)
        if agent is not None and read is not None:
            forms.append((read[0], agent.id))
    return forms


def enter_reading(agents: Mapping[str, float], edges: Edges, account: WaterAccount) -> None:
    """Enter a reading as the agent told by the element, the last put in; others are then nothing.

    In the water a salt is nothing but its ion, by whatever container it came.
    """
    by_element = [agent for agent, worth in agents.items() if worth == 1]
    last = max(
        [agent for agent in by_element if account.may_hold(agent)] or by_element[:1],
        key=lambda agent: account.put_in_h.get(agent, 0.0),
    )
    for agent in agents:
        if agent != last:
            account.read(agent, *NOTHING)
    account.read(last, *edges)
