"""How an agent is brought to a strength by test: in steps, read often, held inside a range.

Which agents are, in which water, in what steps and by which reading stands in the agent's file
(``titrate.*``). Strengths are on the agent's own basis unless it is said otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from tankside.claims import Claim, Knowledge, setting
from tankside.course.amounts.active_forms import same_active
from tankside.course.amounts.limits import Around, hard_limit, lowest_useful, usual_most
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.system import System
from tankside.quantity.per import HOURS_PER_DAY

PROLONGED = "prolonged"
_SLACK = setting(1e-9, "a strength exactly at a step needs no further step")


@dataclass(frozen=True, slots=True)
class Titration:
    """How one agent is titrated in one kind of water.

    Args:
        low_mg_l: lowest strength at which a day counts [mg/L].
        high_mg_l: strength never to be passed [mg/L].
        steps: equal parts in which the strength is given.
        every_h: hours between steps [h].
        reads: what the test must read, in words ("free copper").
        reading: name of the reading in a water test ("copper").
        unit: unit in which it is read ("mg/L as Cu").
        per_reading: strength on the agent's basis for one unit read.
        test_every_h: hours between tests [h].
        test_first_h: hours between tests until the strength is reached [h].
        days: days at strength that a course needs [d]; 0 where print gives none.
        claim_key: claim that makes it a titrated agent.
    """

    low_mg_l: float
    high_mg_l: float
    steps: int
    every_h: int
    reads: str
    reading: str
    unit: str
    per_reading: float
    test_every_h: int
    test_first_h: int
    days: int
    claim_key: str

    @property
    def target_mg_l(self) -> float:
        """The middle of the range: as far from too little as from too much [mg/L]."""
        return (self.low_mg_l + self.high_mg_l) / 2

    def steps_mg_l(self, to_mg_l: float, there_mg_l: float = 0.0) -> tuple[float, ...]:
        """Return the strength after each step from what is there up to ``to_mg_l`` [mg/L].

        No step adds more than one part of the whole strength; there is always one.

        Args:
            to_mg_l: strength to reach.
            there_mg_l: strength there before the first step.
        """
        part = to_mg_l / self.steps
        number = max(1, ceil((to_mg_l - there_mg_l) / part - _SLACK))
        return (*(there_mg_l + part * n for n in range(1, number)), to_mg_l)


def titration(facts: Knowledge, agent: str, water: str | None) -> Titration | None:
    """Return how an agent is titrated in a water; None where it is not, or no range is printed.

    Args:
        facts: what is known.
        agent: agent id.
        water: fresh, brackish or marine; None when not known.
    """
    every = facts.find(f"agent.{agent}.titrate.every")
    reads = facts.find(f"agent.{agent}.titrate.reads")
    if every is None or reads is None or every.conditions.get("water") not in (None, water):
        return None
    low = lowest_useful(facts, agent, PROLONGED, water)
    high = hard_limit(facts, agent, PROLONGED, Around(None, None, young=False, water=water))
    usual = usual_most(facts, agent, PROLONGED, water)
    per_reading = _per_reading(facts, agent, reads)
    if low is None or high is None or per_reading is None:
        return None
    return Titration(
        low_mg_l=low.mg_l,
        high_mg_l=high.mg_l if usual is None else min(high.mg_l, usual.mg_l),
        steps=round(facts.number(f"agent.{agent}.titrate.steps")),
        every_h=round(every.number()),
        reads=str(reads.value),
        reading=reads.conditions["reading"],
        unit=reads.unit,
        per_reading=per_reading,
        test_every_h=round(facts.number(f"agent.{agent}.titrate.test_every")),
        test_first_h=round(facts.number(f"agent.{agent}.titrate.test_first")),
        days=_days(facts, agent),
        claim_key=every.key,
    )


def _per_reading(facts: Knowledge, agent: str, reads: Claim) -> float | None:
    """Return the mass on the agent's basis in one mass as the test reads it."""
    claims = facts.agents[agent].claims
    forms = (c[0] for short, c in claims.items() if short.startswith("form."))
    wanted = reads.conditions.get("form")
    return next((c.number() for c in forms if c.conditions.get("form") == wanted), None)


def _days(facts: Knowledge, agent: str) -> int:
    """Return the printed days at strength of the agent or another form of it; 0 where none is."""
    forms = (agent, *(other.agent.id for other in same_active(facts, agent)))
    printed = (facts.find(f"agent.{form}.course_days.{PROLONGED}") for form in forms)
    return max((round(claim.number()) for claim in printed if claim is not None), default=0)


def whole_days(hours: int) -> int:
    """Return whole days, rounded up."""
    return -(-hours // HOURS_PER_DAY)


def standing_against(
    facts: Knowledge, agent: str, name: str, system: System, hour: int
) -> tuple[Caution, ...]:
    """Return what stands against titrating in this water: carbon there, rock or sand that takes up.

    Args:
        facts: what is known.
        agent: agent id.
        name: the agent's name as it stands in a sentence.
        system: the water.
        hour: elapsed hour of the step.
    """
    cautions = []
    takes = facts.find(f"agent.{agent}.removal.carbon")
    if system.carbon_in and (takes is None or str(takes.value) != "does_not"):
        cautions.append(
            Caution(
                Level.BLOCKED,
                "S-CARBON",
                f"Carbon is in the filter: {name} cannot be held at a strength.",
                "It takes the agent out as fast as it is given, and nobody knows how fast.",
                f"agent.{agent}.removal.carbon",
                "Take out carbon, resins and other adsorbents first, and enter carbon=no.",
                hour=hour,
                body=system.id,
                agent=agent,
            )
        )
    loss = facts.find(f"agent.{agent}.loss.substrate")
    if loss is not None and system.substrate is not False:
        cautions.append(_substrate(loss, agent, name, system, hour))
    return tuple(cautions)


def _substrate(loss: Claim, agent: str, name: str, system: System, hour: int) -> Caution:
    is_there = system.substrate is True
    low, high = loss.bounds()
    source = f" ({loss.source})" if loss.source else ""
    words = f"Rock, sand or gravel takes up {name}, and may give it back later."
    if not is_there:
        words = f"Is rock, sand or gravel in {system.name}? It takes up {name}."
    return Caution(
        Level.CARE if is_there else Level.NOTE,
        "S-SUBSTRATE",
        words,
        f"{low:.0%} to {high:.0%} an hour is reckoned with, the most at the low edge{source}.",
        loss.key,
        "Use a bare tank, or test twice a day and add only what the test shows to be missing."
        if is_there
        else "Look, and enter substrate=yes or substrate=no.",
        hour=hour,
        body=system.id,
        agent=agent,
    )
