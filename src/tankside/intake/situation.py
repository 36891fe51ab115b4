"""From an assembled case to the situation a plan proposes courses for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from tankside import lifecycle
from tankside.claims import Agent, Knowledge
from tankside.claims.organism import Organism
from tankside.course import System
from tankside.course.amounts.place import unfit_water
from tankside.course.amounts.titration import titration
from tankside.errors import BadInput
from tankside.intake.assemble import Assembled
from tankside.intake.water_temperature import no_temperature
from tankside.plan import Levers, NotHere, Situation, Staying, Substance
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import HOURS_PER_DAY

SALT = "sodium_chloride"
ROUTE = "prolonged"
OFFERED = ("substance",)


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the practitioner wishes of a plan.

    Args:
        strengths: strengths to try, by agent id [mg/L]; replaces the levels of the claims.
        change_l: litres of a part change; None to try the levers.
        warm: whether warming is tried.
        only: agents to try, by id; None for every agent that acts on the parasite.
        reason: why a soft limit may be passed, as typed.
        warm_to_c: temperature to warm to [C]; None to try the levers.
    """

    strengths: Mapping[str, float] = field(default_factory=dict)
    change_l: float | None = None
    warm: bool = True
    only: frozenset[str] | None = None
    reason: str = ""
    warm_to_c: float | None = None


@dataclass(frozen=True, slots=True)
class Watched:
    """What is counted at each check.

    Args:
        groups: groups whose fish are counted, the most affected first.
        counted: what is counted of them, in words; "" for spots.
    """

    groups: tuple[str, ...] = ()
    counted: str = ""


NOBODY = Watched()


def situation(
    case: Assembled,
    organism: Organism,
    levers: Levers,
    wishes: Wishes,
    last: Moment,
    watched: Watched = NOBODY,
) -> Situation:
    """Return the situation of a case.

    Args:
        case: the assembled case.
        organism: the parasite.
        levers: values of the levers.
        wishes: what the practitioner wishes.
        last: the moment after which work can begin.
        watched: whose fish are counted, and what of them.

    Raises:
        NotPossible: E-DOSE-20 when the water temperature was not measured.
    """
    main = case.main
    if main.temperature_c is None:
        raise no_temperature(main.name)
    tried = substances(case.facts, organism, wishes)
    tail = lifecycle.printed_tail(organism.id, case.facts, main.temperature_c)
    return Situation(
        systems=case.systems,
        stock=case.stock,
        main=main.id,
        spare=case.spare,
        fish=tuple(host.id for host in case.hosts),
        stage_durations=lifecycle.stage_durations(organism, main.temperature_c),
        tail_d=0.0 if tail is None else tail.days,
        egg_window_d=lifecycle.egg_window_days(organism, main.temperature_c),
        substances=tuple(
            by_test(case.facts, substance, wishes, main)
            for substance in tried
            if unfit_water(case.facts, substance.agent, main.water) is None
        ),
        first_h=_first_hour(case, levers, last),
        change_l=wishes.change_l,
        warm_to_c=_warm_targets(main.temperature_c, levers, wishes),
        watched=watched.groups,
        counted=watched.counted,
        left_out=tuple(
            NotHere(substance.name, _only_for(apart.fits, main.water or ""))
            for substance in tried
            if (apart := unfit_water(case.facts, substance.agent, main.water)) is not None
        ),
    )


def _only_for(fits: str, water: str) -> str:
    return f"for {fits} water only, and this is {water} water"


def substances(facts: Knowledge, organism: Organism, wishes: Wishes) -> tuple[Substance, ...]:
    """Return the agents that may be tried: a known prolonged dose and something on this parasite.

    The middle and the upper end of the printed dose are tried. An agent counts as acting when the
    organism's figures name it, or when it is salt and the organism depends on salinity.
    """
    offers = []
    for agent in facts.agents.values():
        claim = agent.find(f"dose.{ROUTE}")
        wanted = wishes.only is None or agent.id in wishes.only
        offered = agent.kind in OFFERED and agent.offered and wanted
        if not offered or claim is None or not acts_on(organism, agent.id):
            continue
        levels = tuple(sorted({claim.number(), claim.bounds()[1]}))
        wished = wishes.strengths.get(agent.id)
        offers.append(
            Substance(
                agent=agent.id,
                name=agent.name,
                strengths_mg_l=levels if wished is None else (wished,),
                staying=Staying.HELD if agent.id == SALT else Staying.FADES,
                in_steps=agent.id == SALT,
                carbon_removes=carbon_removes(agent),
                again_every_d=_intervals_d(agent),
                reason=wishes.reason,
            )
        )
    return tuple(offers)


def by_test(facts: Knowledge, substance: Substance, wishes: Wishes, system: System) -> Substance:
    """Return a substance as it is given in one water: by test, to the middle of the range, or not.

    At the upper end nothing is left for what is uncertain, so it is not tried unless wished for.
    """
    how = titration(facts, substance.agent, system.water)
    if how is None:
        return substance
    wished = substance.agent in wishes.strengths
    strengths = substance.strengths_mg_l if wished else (how.target_mg_l,)
    return replace(substance, titration=how, strengths_mg_l=strengths)


def acts_on(organism: Organism, agent: str) -> bool:
    """Whether the figures of the organism say that an agent does something to it."""
    if agent == SALT and any(
        ".release_salt" in key or "salinity" in key for key in organism.claims
    ):
        return True
    return any(key.startswith(f"kill.{agent}.") for key in organism.claims)


def not_simulated(facts: Knowledge, organism: Organism) -> tuple[str, ...]:
    """Return the names of agents with a prolonged dose of which no figure says what they do."""
    return tuple(
        agent.name
        for agent in facts.agents.values()
        if agent.kind in OFFERED
        and agent.offered
        and agent.find(f"dose.{ROUTE}") is not None
        and not acts_on(organism, agent.id)
    )


def _intervals_d(agent: Agent) -> tuple[int, ...]:
    """Return the usual intervals between full doses, in whole days, rounded up."""
    claim = agent.find(f"interval.{ROUTE}")
    if claim is None:
        return ()
    hours = {*claim.bounds(), claim.number()}
    return tuple(sorted({max(1, -(-round(h) // HOURS_PER_DAY)) for h in hours}))


def carbon_removes(agent: Agent) -> bool | None:
    """Whether carbon takes an agent out of the water; None when print does not say."""
    claim = agent.find("removal.carbon")
    if claim is None:
        return None
    return str(claim.value) in ("removes", "partly")


def _no_warmer(to_c: float, measured_c: float) -> BadInput:
    return BadInput(
        "E-RANGE-01",
        "This is no warming: the water is as warm already.",
        given=f"{to_c:g} C",
        needed=f"more than the {measured_c:g} C that were read",
        next_step="Give a higher temperature, or leave it out.",
        field="warm_to",
    )


def _first_hour(case: Assembled, levers: Levers, last: Moment) -> int:
    """Return the first hour of work: this evening, the next full hour, or tomorrow evening."""
    now = hours_between(case.zero, last)
    if last.day_only or now < levers.evening_h:
        return levers.evening_h
    next_hour = int(now) + 1
    return next_hour if next_hour <= levers.latest_h else levers.evening_h + HOURS_PER_DAY


def _warm_targets(measured_c: float, levers: Levers, wishes: Wishes) -> tuple[float, ...]:
    """Return the temperatures tried: the one wished for, else the levers' rises, whole degrees."""
    if not wishes.warm:
        return ()
    if wishes.warm_to_c is not None:
        if not wishes.warm_to_c > measured_c:
            raise _no_warmer(wishes.warm_to_c, measured_c)
        return (wishes.warm_to_c,)
    return tuple(float(round(measured_c + rise)) for rise in levers.warm_rises_c)
