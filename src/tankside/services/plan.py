"""Plan: compare courses for a case, and write the chosen one into it."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from tankside import library
from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.course import LabelEntry
from tankside.errors import BadInput, NotPossible
from tankside.follow import NotBefore, not_before
from tankside.lifecycle import Windows, prepare
from tankside.plan import (
    Compared,
    Comparison,
    Progress,
    Trial,
    compare,
    propose,
    read_levers,
)
from tankside.quantity import Kind, parse_quantity
from tankside.quantity.moment import Moment
from tankside.records.case_file import read_case
from tankside.services.assemble import (
    Assembled,
    assemble,
    day_asked,
    midnight,
)
from tankside.services.assemble_counts import looks
from tankside.services.assemble_water import agent_id
from tankside.services.cases import Added, add_fields
from tankside.services.course_codec import encode_course
from tankside.services.labels import labels_of, read_labels
from tankside.services.pinned import KEY, pinned
from tankside.services.situation import Wishes
from tankside.services.trials import set_up

NOT_VALIDATED = "Not validated on real tanks."


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a plan, as typed.

    Args:
        on: day the course may begin; None for the latest day of the case.
        organism: organism id; None to take it from the case.
        seed: of chance; None to derive it from the case.
        strengths: "agent=2 g/L" each; limits that agent to this strength.
        labels: "agent=strength" each, see ``services.labels``; they replace those of the case.
        scale: smallest step of the scale.
        syringe: smallest step of the syringe.
        change: litres of a part change, as typed.
        warm: whether warming is tried.
        only: agents to compare, by name; empty for all that act on the parasite.
        reason: why a soft limit may be passed.
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
    only: tuple[str, ...] = ()
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Planned:
    """A comparison with everything needed to tell it and to choose from it."""

    case: Assembled
    organism: Organism
    comparison: Comparison
    windows: Windows
    not_before: NotBefore
    labels: Mapping[str, LabelEntry]
    seed: int
    seconds: float
    day: date

    @property
    def courses(self) -> tuple[Compared, ...]:
        """The courses compared; course K of the command line is number K - 1 here."""
        return self.comparison.courses


@dataclass(frozen=True, slots=True)
class Ready:
    """A case ready to be simulated from one day on."""

    case: Assembled
    trial: Trial
    day: date


def ready(view: CaseView, facts: Knowledge, asked: Asked) -> Ready:
    """Return a case ready to be simulated from the day asked on.

    Raises:
        NotPossible: something is missing (volume, temperature, stock, life cycle).
        BadInput: an option cannot be read.
    """
    day = day_asked(view, asked.on)
    zero = midnight(view, day)
    case = assemble(view, facts, zero, at_start=False)
    last = _latest(view, day)
    trial = set_up(
        case,
        organism=asked.organism,
        seed=asked.seed,
        labels={
            **labels_of(view, facts, zero),
            **read_labels(facts, asked.labels, asked.scale, asked.syringe),
        },
        start=last,
        work=last,
        wishes=_wishes(facts, asked),
    )
    return Ready(case, trial, day)


def plan(path: str | Path, asked: Asked, progress: Progress | None = None) -> Planned:
    """Compare courses for a case.

    Args:
        path: the case file.
        asked: what is asked, as typed.
        progress: told how far each long step has come.

    Raises:
        BadInput: the case or an option cannot be read.
        NotPossible: something is missing that no course can do without.
    """
    facts = library.load()
    view = read_case(path).view()
    began = time.perf_counter()
    prepared = ready(view, facts, asked)
    candidates = propose(prepared.trial.situation, read_levers(facts))
    prepare(progress)
    comparison = compare(prepared.trial, candidates, progress=progress)
    windows = prepared.trial.situation.windows
    today = (prepared.day - view.opened.moment.day).days
    waiting = not_before(looks(view, midnight(view, view.opened.moment.day)), windows, today)
    return Planned(
        case=prepared.case,
        organism=prepared.trial.organism,
        comparison=comparison,
        windows=windows,
        not_before=waiting,
        labels=prepared.trial.labels,
        seed=prepared.trial.seed,
        seconds=time.perf_counter() - began,
        day=prepared.day,
    )


def choose_course(
    path: str | Path, planned: Planned, number: int, *, by: str, reason: str
) -> Added:
    """Write course ``number`` (from 1) of a comparison into the case, with its whole schedule.

    Raises:
        BadInput: E-PLAN-04 there is no such course, E-NUM for nothing saved.
        NotPossible: E-PLAN-05 the course has steps without an amount (no label was given).
        CouldNotSave: the disk refused; nothing was written.
    """
    if not 1 <= number <= len(planned.courses):
        raise BadInput(
            "E-PLAN-04",
            "There is no course with that number.",
            given=number,
            needed=f"a number from 1 to {len(planned.courses)}",
            next_step="Run plan without --choose and take the number above a column.",
            field="choose",
        )
    picked = planned.courses[number - 1]
    _check_amounts(picked)
    course = picked.candidate.course()
    fields = {
        "kind": "course_chosen",
        "occurred_at": _chosen_at(planned),
        "name": picked.candidate.name,
        "starts_at": planned.case.zero.text,
        "course": encode_course(course, planned.labels) | {KEY: pinned(planned.case.facts, course)},
        "program": _program(),
        "seed": planned.seed,
        "reason": reason or "chosen from the comparison",
    }
    return add_fields(path, [fields], by=by)


def _check_amounts(picked: Compared) -> None:
    """Refuse a course some of whose amounts could not be worked out."""
    dosed = [line for line in picked.run.lines if line.kind in ("salt", "dose", "bath")]
    bare = [line for line in dosed if not line.amounts and "(no amount" in line.text]
    if not bare:
        return
    agents = sorted({c.agent for c in picked.run.safety if c.agent and c.code == "E-PROD-01"})
    named = " ".join(f'--label "{agent}=pure"' for agent in agents) or '--label "agent=strength"'
    raise NotPossible(
        "E-PLAN-05",
        "This course has steps without an amount, because no label was given.",
        given=bare[0].text,
        needed=f'the label and the tool, for example {named} --scale "1 g"',
        next_step="Run it again with the label, or add it: tankside case add CASE label ...",
        field="label",
    )


def _latest(view: CaseView, day: date) -> Moment:
    """Return the last moment of the case up to the end of a day."""
    told = [
        line.current.moment
        for line in view.history
        if line.current is not None and line.current.moment.day <= day
    ]
    last = max(told, key=lambda moment: moment.utc)
    return last if last.day == day else midnight(view, day)


def _chosen_at(planned: Planned) -> str:
    last = _latest(planned.case.view, planned.day)
    return last.text


def _wishes(facts: Knowledge, asked: Asked) -> Wishes:
    strengths = {}
    for text in asked.strengths:
        name, _, value = text.partition("=")
        read = parse_quantity(value, Kind.MASS_CONCENTRATION, field="strength")
        strengths[_agent(facts, name, "strength")] = read.number("mg/L")
    only = frozenset(_agent(facts, name, "only") for name in asked.only) or None
    change = None
    if asked.change is not None:
        change = parse_quantity(asked.change, Kind.VOLUME, field="change").number("L")
    return Wishes(strengths, change, asked.warm, only, asked.reason)


def _agent(facts: Knowledge, name: str, option: str) -> str:
    """Return the id of an agent named in an option.

    Raises:
        BadInput: E-PROD-02 no agent of that name.
    """
    agent = agent_id(facts, name)
    if agent in facts.agents:
        return agent
    raise BadInput(
        "E-PROD-02",
        "This substance is not known by that name.",
        given=name,
        needed="one of: " + ", ".join(sorted(facts.agents)),
        next_step="Type the active substance.",
        field=option,
    )


def _program() -> str:
    from importlib.metadata import version

    return f"tankside {version('tankside')}"
