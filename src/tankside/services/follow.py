"""Follow-up: counts come back; what is believed, may we stop, does it fit, what next."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from pathlib import Path

import numpy as np

from tankside import lifecycle
from tankside.course.actions import Count
from tankside.follow import (
    DecisionInputs,
    NotBefore,
    WeightedEnsemble,
    as_if_unseen,
    decide,
    degenerate,
    examine,
    fit_of,
    outside,
    predict,
    sample_posterior,
    search,
)
from tankside.follow.posterior import Play
from tankside.intake.assemble import midnight
from tankside.intake.counts import counted_words, fish_examined, looks
from tankside.intake.deaths_lately import deaths_lately
from tankside.intake.failure_clues import failure_clues
from tankside.intake.fishless import FishlessTank, fishless_tanks
from tankside.intake.follow_setup import (
    FollowRequest,
    FollowSetup,
    course_from,
    end_hour,
    follow_setup,
)
from tankside.intake.readings_watch import reading_warnings
from tankside.intake.spread import spread_warnings
from tankside.intake.stop_date import stop_date
from tankside.lifecycle import Draws, Histories, InitialState, OfTwenty, opposite
from tankside.lifecycle.inputs.types import Flags
from tankside.lifecycle.results.endpoints import clear_at
from tankside.lifecycle.results.rival_sides import agreed_share, rival_sides, sides_together
from tankside.plan import Progress, read_levers
from tankside.quantity.per import HOURS_PER_DAY
from tankside.records.case_store import read_case
from tankside.services.follow_answer import Belief, FollowAnswer, LatestCleanLook, PosteriorNow

CLAIM_ROWS = 8192
"""Rows of claim values among which those that fit are searched."""


def follow(
    path: str | Path, request: FollowRequest | None = None, progress: Progress | None = None
) -> FollowAnswer:
    """Hold the counts of a case against its course.

    Raises:
        BadInput: the case or the day cannot be read.
        NotPossible: something is missing (volume, temperature, stock, life cycle).
    """
    request = request or FollowRequest()
    began = time.perf_counter()
    setup = follow_setup(read_case(path).view(), request)
    ensembles = _ensembles(setup, progress) if setup.seen else None
    return _answer(setup, ensembles, began)


@dataclass(frozen=True, slots=True)
class _Ensembles:
    """Histories of the search, of going on, and of stopping now."""

    searched: WeightedEnsemble
    going_on: WeightedEnsemble
    stopped: WeightedEnsemble


def _ensembles(setup: FollowSetup, progress: Progress | None) -> _Ensembles:
    """Search up to now, then play both ways on from where the histories fit."""
    lifecycle.prepare(progress)
    end_h = end_hour(setup)
    short = _player(setup, ceil((setup.now_h + 1) / HOURS_PER_DAY), going_on=True)
    claims = lifecycle.draw(setup.trial.organism, CLAIM_ROWS, setup.trial.seed)
    proposals, searched = search(short, setup.starts, claims, setup.seen, progress=progress)
    days, keep = ceil(end_h / HOURS_PER_DAY) + 1, (setup.now_h, end_h)
    both = [
        sample_posterior(
            _player(setup, days, going_on=going_on), proposals, setup.seen, keep, progress=progress
        )
        for going_on in (True, False)
    ]
    return _Ensembles(searched, *both)


def _player(setup: FollowSetup, days: int, *, going_on: bool) -> Play:
    """Return what plays rounds of one way on over some days."""
    course = course_from(setup, days, going_on=going_on)
    compiled = setup.trial.compile(setup.trial.water(course))

    def play(start: InitialState, claims: Draws, number: int, hours: tuple[int, ...]) -> Histories:
        return setup.trial.play_from(compiled, start, claims, number, hours)

    return play


def _belief(setup: FollowSetup, ensembles: _Ensembles | None) -> Belief:
    if ensembles is None:
        return Belief()
    going = ensembles.going_on
    return Belief(
        posterior=_posterior_now(going, setup.now_h),
        clear_now=_agreed(going, setup, lambda h: clear_at(h, h.moment(setup.now_h))),
        returns_if_stopped=opposite(_agreed(ensembles.stopped, setup, clear_at)),
        returns_going_on=opposite(_agreed(going, setup, clear_at)),
        effective=going.effective,
        trust=going.trust,
        played=going.histories,
        predicted=predict(ensembles.searched, setup.seen),
        explained=not degenerate(going),
    )


def _agreed(
    ensemble: WeightedEnsemble, setup: FollowSetup, flags: Callable[[Histories], Flags]
) -> OfTwenty:
    """Return the share believed clear at the least, near certain only where papers agree on it."""
    organism = setup.trial.organism
    parts = [rival_sides(organism, part.draws, len(part.weights)) for part in ensemble.parts]
    holds = np.concatenate([flags(part) for part in ensemble.parts])
    sides = sides_together(parts)
    shares = [
        agreed_share(holds, each.weights, sides)
        for each in (ensemble, *as_if_unseen(ensemble, setup.seen))
    ]
    return min(shares, key=lambda clear: clear.share)


def _answer(setup: FollowSetup, ensembles: _Ensembles | None, began: float) -> FollowAnswer:
    view, first = setup.view, setup.view.opened.moment.day
    number = (setup.day - first).days
    organism = setup.trial.organism
    earliest = stop_date(setup.looked, setup.stage_durations, setup.day)
    days_looked = looks(setup.looked, midnight(view, first))
    latest = [look for look in days_looked if look.day <= number]
    last_day = max((look.day for look in latest), default=None)
    seen_last = any(look.seen for look in latest if look.day == last_day)
    belief = _belief(setup, ensembles)
    unexpected = outside(belief.predicted)
    wrong = bool(unexpected) or not belief.explained
    inputs = _inputs(setup, belief, earliest, (last_day, seen_last), outside=wrong)
    clues = replace(
        failure_clues(view, setup.case.main, setup.course_as_done),
        deaths_go_on=inputs.deaths_go_on,
    )
    return FollowAnswer(
        case=setup.case,
        day=setup.day,
        day_number=number,
        stage_durations=setup.stage_durations,
        not_before=earliest,
        belief=belief,
        unexpected=unexpected,
        examine=examine(clues) if wrong or inputs.deaths_go_on else (),
        clean_look=None if last_day is None or seen_last else _clean_look(setup, last_day),
        decided=decide(inputs),
        next_check=_next_check(setup, earliest, number),
        look=counted_words(setup.looked, organism.seen_by),
        looked=last_day is not None,
        rescheduled=setup.rescheduled,
        course_as_done=setup.course_as_done,
        now_h=setup.now_h,
        seed=setup.trial.seed,
        seconds=time.perf_counter() - began,
        at_strength=setup.at_strength,
        water=_water(setup),
        fishless=_fishless(setup),
    )


def _fishless(setup: FollowSetup) -> tuple[FishlessTank, ...]:
    """Return the tanks without fish at the end of the day that is asked for."""
    end = midnight(setup.view, setup.day + timedelta(days=1))
    return fishless_tanks(setup.view, setup.case.facts, end, setup.trial.organism.id)


def _water(setup: FollowSetup) -> tuple[str, ...]:
    """Return what the readings warn of at the end of the day that is asked for."""
    end = midnight(setup.view, setup.day + timedelta(days=1))
    spread = spread_warnings(setup.view).values()
    return (*reading_warnings(setup.view, setup.case.facts, end), *spread)


def _inputs(
    setup: FollowSetup,
    belief: Belief,
    earliest: NotBefore,
    latest: tuple[int | None, bool],
    *,
    outside: bool,
) -> DecisionInputs:
    """Return what the decision rests on; ``latest`` is the day of the latest look, and its find."""
    lately = deaths_lately(setup.looked, setup.day)
    return DecisionInputs(
        today=(setup.day - setup.view.opened.moment.day).days,
        looked=latest[0],
        seen_at_latest=latest[1],
        not_before=earliest,
        fit=fit_of(len(belief.predicted), belief.trust, outside=outside),
        clear_now=belief.clear_now,
        returns_if_stopped=belief.returns_if_stopped,
        dead_lately=lately.dead,
        lately_d=lately.days,
        parasites_down=lately.parasites_down,
    )


def _posterior_now(ensemble: WeightedEnsemble, now_h: int) -> PosteriorNow:
    def at(histories: Histories) -> int:
        return histories.moment(now_h)

    return PosteriorNow(
        ensemble.posterior_range(lambda h: h.burden[:, at(h)].sum(axis=-1)),
        ensemble.posterior_range(lambda h: h.bottom[:, at(h)]),
        ensemble.posterior_range(lambda h: h.swimmers[:, at(h)]),
    )


def _clean_look(setup: FollowSetup, day: int) -> LatestCleanLook:
    """Return how many fish the looks of a day examined, of those entered at the start."""
    examined = fish_examined(setup.looked, day)
    population = sum(group.count for group in setup.case.hosts)
    return LatestCleanLook(examined, max(population, examined))


def _next_check(setup: FollowSetup, earliest: NotBefore, today: int) -> date:
    """Return the day of the next look: the next planned count, but a look when the wait ends."""
    first = setup.view.opened.moment.day
    choices = []
    if earliest.day is not None and earliest.day > today:
        choices.append(earliest.day)
    ahead = () if setup.course_as_done is None else setup.course_as_done.ahead
    choices += [
        (setup.case.day_at(action.at_h) - first).days
        for action in ahead
        if isinstance(action, Count)
    ]
    later = [day for day in choices if day > today]
    every = read_levers(setup.case.facts).count_every_d
    return first + timedelta(days=min(later, default=today + every))
