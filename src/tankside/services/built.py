"""A course put together by hand, as far as it has come: its steps, and what already forbids it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tankside import library
from tankside.course import Caution
from tankside.intake.built_course import built_course
from tankside.intake.plan_setup import PlanRequest, ready
from tankside.plan import read_levers
from tankside.records.case_store import read_case


@dataclass(frozen=True, slots=True)
class BuiltSoFar:
    """The steps of a course that is being put together.

    Args:
        words: each step in words, in the order typed.
        days: how long the course is.
        stops: what forbids it, each once.
        cares: what speaks for care with it, each once.
        waters: id and name of each water of the case.
        spare: ids of those that could take the fish.
    """

    words: tuple[str, ...]
    days: int
    stops: tuple[Caution, ...]
    cares: tuple[Caution, ...]
    waters: tuple[tuple[str, str], ...]
    spare: tuple[str, ...]


def built_so_far(path: str | Path, steps: Sequence[str], days: str = "") -> BuiltSoFar:
    """Return a course as far as it is put together; its water is run, no history is played.

    Args:
        path: the case.
        steps: its steps, one typed line each.
        days: how long it is, as typed; "" for the shortest length that is tried [d].

    Raises:
        BadInput: E-PLAN-11 a step cannot be read; a quantity or substance cannot.
        NotPossible: something is missing that no course can do without.
    """
    facts = library.load()
    prepared = ready(read_case(path).view(), facts, PlanRequest())
    trial = prepared.trial
    here = trial.situation
    built = built_course(facts, here, read_levers(facts), steps, days, labels=trial.labels)
    run = trial.water(built.course()) if steps else None
    safety = () if run is None else run.safety
    stops = () if run is None else run.blocked
    return BuiltSoFar(
        words=tuple(part.words for part in built.parts[: len(steps)]),
        days=built.days,
        stops=_once(stops),
        cares=_once([caution for caution in safety if caution not in stops]),
        waters=tuple((body.id, body.name) for body in here.systems),
        spare=here.spare,
    )


def _once(cautions: Sequence[Caution]) -> tuple[Caution, ...]:
    """Return each caution once, whatever the hour it is of."""
    return tuple({(c.words, c.why): c for c in cautions}.values())
