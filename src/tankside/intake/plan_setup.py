"""What is asked of a plan, as typed, and the case made ready to be simulated for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.errors import NotPossible
from tankside.intake.assemble import Assembled, assemble, day_asked, midnight
from tankside.intake.built_course import BUILT, built_course
from tankside.intake.labels import labels_of, read_labels
from tankside.intake.situation import Wishes
from tankside.intake.substances import agent_of, factor_of, named_agent
from tankside.intake.trial_setup import set_up
from tankside.intake.unanswered import refuse_unanswered
from tankside.lifecycle.inputs.mortality_factors import anything_acts
from tankside.plan import Candidate, Trial, propose, read_levers
from tankside.quantity import Kind, parse_quantity
from tankside.quantity.moment import Moment
from tankside.records.stored_case import StoredCase


@dataclass(frozen=True, slots=True)
class PlanRequest:
    """What is asked of a plan, as typed.

    Args:
        on: day the course may begin; None for the latest day of the case.
        organism: organism id; None to take it from the case.
        seed: of chance; None to derive it from the case.
        strengths: "agent=2 g/L" each; limits that agent to this strength.
        labels: "agent=strength" each, see ``intake.labels``; they replace those of the case.
        scale: smallest step of the scale.
        syringe: smallest step of the syringe.
        change: litres of a part change, as typed.
        warm: whether warming is tried.
        warm_to: temperature to warm to, as typed; None to try the levers.
        only: agents to compare, by name; empty for all that act on the parasite.
        reason: why a soft limit may be passed.
        steps: steps of a course put together by hand, one line each (``intake.built_course``); it
            is compared beside the others.
        days: length of that course, as typed; "" for the shortest that is tried [d].
        named: names of the only courses it is compared with; empty for every one.
    """

    on: str | None = None
    organism: str | None = None
    seed: int | None = None
    strengths: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()
    scale: str | None = None
    syringe: str | None = None
    change: str | None = None
    warm: bool = True
    warm_to: str | None = None
    only: tuple[str, ...] = ()
    reason: str = ""
    steps: tuple[str, ...] = ()
    days: str = ""
    named: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ready:
    """A case ready to be simulated from one day on."""

    case: Assembled
    trial: Trial
    day: date


@dataclass(frozen=True, slots=True)
class ToCompare:
    """A case as it was read, ready to be simulated, with the courses to compare.

    ``candidates`` are all that are proposed; the longest says how long each is followed.
    ``named`` are the names of the only ones that are played; empty for all.
    """

    stored: StoredCase
    ready: Ready
    candidates: tuple[Candidate, ...]
    named: tuple[str, ...] = ()

    @property
    def played(self) -> tuple[Candidate, ...]:
        """The courses that are played against each other."""
        if not self.named:
            return self.candidates
        return tuple(c for c in self.candidates if c.name in self.named or c.kind == BUILT)


def ready(view: CaseView, facts: Knowledge, request: PlanRequest) -> Ready:
    """Return a case ready to be simulated from the day asked on.

    Raises:
        NotPossible: something is missing (volume, temperature, stock, life cycle).
        BadInput: an option cannot be read.
    """
    day = day_asked(view, request.on)
    zero = midnight(view, day)
    last = last_told(view, day)
    case = assemble(view, facts, zero, at_start=False, placed=last, counted_to=last)
    for water in case.systems:
        refuse_unanswered(view, facts, water.id, last)
    trial = set_up(
        case,
        organism=request.organism,
        seed=request.seed,
        labels={
            **labels_of(view, facts, zero),
            **read_labels(facts, request.labels, request.scale, request.syringe),
        },
        start=last,
        work=last,
        wishes=_wishes(facts, request),
    )
    return Ready(case, trial, day)


def to_compare(stored: StoredCase, facts: Knowledge, request: PlanRequest) -> ToCompare:
    """Return a case ready to be simulated with the courses that are compared for it.

    Raises:
        NotPossible: as for ``ready``; E-PLAN-01 no course has an end at this temperature;
            E-PLAN-12 nothing on file has a figure against the parasite.
        BadInput: an option cannot be read.
    """
    prepared = ready(stored.view(), facts, request)
    require_something_acts(prepared.trial.organism)
    levers, here = read_levers(facts), prepared.trial.situation
    candidates = propose(here, levers)
    if request.steps:
        labels = prepared.trial.labels
        built = built_course(
            facts, here, levers, request.steps, request.days, request.reason, labels
        )
        candidates = (*candidates, built)
    return ToCompare(stored, prepared, candidates, request.named)


def require_something_acts(organism: Organism) -> None:
    """Refuse what could only be played as doing nothing: its courses, and whether one works.

    Raises:
        NotPossible: E-PLAN-12 nothing on file has a figure against the parasite.
    """
    if not anything_acts(organism):
        raise NotPossible(
            "E-PLAN-12",
            f"No courses are compared against {organism.name}: nothing has a figure against it.",
            given=organism.id,
            needed="a strength with its hours and the share killed, from print",
            next_step="Follow the care of this cause; the forecast without treatment still stands.",
        )


def last_told(view: CaseView, day: date) -> Moment:
    """Return the last moment of the case up to the end of a day."""
    last = view.last_moment(day)
    return last if last.day == day else midnight(view, day)


def _wishes(facts: Knowledge, request: PlanRequest) -> Wishes:
    strengths = {}
    for text in request.strengths:
        name, _, value = text.partition("=")
        read = parse_quantity(value, Kind.MASS_CONCENTRATION, field="strength")
        substance = named_agent(facts, name, "strength")
        agent = substance.agents[0]
        strengths[agent.id] = read.number("mg/L") * factor_of(agent, substance.form)
    only = frozenset(agent_of(facts, name, "only").id for name in request.only) or None
    change = None
    if request.change is not None:
        change = parse_quantity(request.change, Kind.VOLUME, field="change").number("L")
    warm_to_c = None
    if request.warm_to is not None:
        warm_to_c = parse_quantity(request.warm_to, Kind.TEMPERATURE, field="warm_to").number("C")
    return Wishes(strengths, change, request.warm, only, request.reason, warm_to_c)
