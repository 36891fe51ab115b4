"""Follow-up: counts come back; what is believed, may we stop, does it fit, what next."""

from __future__ import annotations

import time
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from pathlib import Path

from tankside import lifecycle, sampling
from tankside.course.actions import Count
from tankside.follow import (
    Clues,
    Decided,
    DecisionInputs,
    NotBefore,
    PosteriorRange,
    Predicted,
    Rescheduled,
    ToExamine,
    WeightedEnsemble,
    decide,
    degenerate,
    examine,
    not_before,
    outside,
    predict,
    sample_posterior,
    search,
)
from tankside.follow.posterior import Play
from tankside.intake.assemble import Assembled, midnight
from tankside.intake.counts import looks
from tankside.intake.course_as_done import CourseAsDone
from tankside.intake.follow_setup import AskedCase, Query, asked_case, course_from, end_hour
from tankside.lifecycle import Draws, Histories, InitialState, OfTwenty, StageDurations, opposite
from tankside.lifecycle.results.endpoints import clear_at
from tankside.plan import Progress, read_levers
from tankside.quantity.per import HOURS_PER_DAY
from tankside.records.case_file import read_case

CLAIM_ROWS = 8192
"""Rows of claim values among which those that fit are searched."""


@dataclass(frozen=True, slots=True)
class PosteriorNow:
    """What is believed to be there now."""

    on_fish: PosteriorRange
    on_bottom: PosteriorRange
    in_water: PosteriorRange


@dataclass(frozen=True, slots=True)
class FollowUp:
    """The whole answer.

    Args:
        case: the assembled case.
        day: day it is asked on.
        day_number: the same, counted from the first day of the case.
        stage_durations: stays at the measured temperature.
        not_before: earliest day of a stop.
        posterior: what is believed now; None without a count.
        clear_now: share of runs clear now.
        returns_if_stopped: share of runs that come back when stopped today.
        returns_going_on: the same when the course is gone through.
        effective: effective number of runs.
        trust: how far the counts could be taken at their word (1 in full).
        played: runs played.
        predicted: every count with what was to be expected.
        unexpected: counts outside; the five reasons are then in ``examine``.
        explained: whether enough runs explain the counts at all.
        examine: reasons to look into, when something does not fit.
        zero: what the last clean look can and cannot exclude ("" when it was not clean).
        decided: advice and reasons.
        next_check: day of the next look.
        rescheduled: new hours of the steps ahead after one was missed or done twice.
        course_as_done: the course as it was lived.
        now_h: hour at which it was asked, since the first count or the course.
        seed: of chance.
        seconds: taken.
    """

    case: Assembled
    day: date
    day_number: int
    stage_durations: StageDurations
    not_before: NotBefore
    posterior: PosteriorNow | None
    clear_now: OfTwenty | None
    returns_if_stopped: OfTwenty | None
    returns_going_on: OfTwenty | None
    effective: float
    trust: float
    played: int
    predicted: tuple[Predicted, ...]
    unexpected: tuple[Predicted, ...]
    explained: bool
    examine: tuple[ToExamine, ...]
    zero: str
    decided: Decided
    next_check: date
    rescheduled: Rescheduled | None
    course_as_done: CourseAsDone | None
    now_h: int
    seed: int
    seconds: float


def follow(
    path: str | Path, query: Query | None = None, progress: Progress | None = None
) -> FollowUp:
    """Hold the counts of a case against its course.

    Raises:
        BadInput: the case or the day cannot be read.
        NotPossible: something is missing (volume, temperature, stock, life cycle).
    """
    query = query or Query()
    began = time.perf_counter()
    asked = asked_case(read_case(path).view(), query)
    ensembles = _ensembles(asked, progress) if asked.seen else None
    return _answer(asked, ensembles, began)


@dataclass(frozen=True, slots=True)
class _Ensembles:
    """Histories of the search, of going on, and of stopping now."""

    searched: WeightedEnsemble
    going_on: WeightedEnsemble
    stopped: WeightedEnsemble


def _ensembles(asked: AskedCase, progress: Progress | None) -> _Ensembles:
    """Search up to now, then play both ways on from where the histories fit."""
    lifecycle.prepare(progress)
    end_h = end_hour(asked)
    short = _player(asked, ceil((asked.now_h + 1) / HOURS_PER_DAY), going_on=True)
    claims = lifecycle.draw(asked.trial.organism, CLAIM_ROWS, asked.trial.seed)
    proposals, searched = search(short, asked.starts, claims, asked.seen, progress=progress)
    days, keep = ceil(end_h / HOURS_PER_DAY) + 1, (asked.now_h, end_h)
    both = [
        sample_posterior(
            _player(asked, days, going_on=going_on), proposals, asked.seen, keep, progress=progress
        )
        for going_on in (True, False)
    ]
    return _Ensembles(searched, *both)


def _player(asked: AskedCase, days: int, *, going_on: bool) -> Play:
    """Return what plays rounds of one way on over some days."""
    course = course_from(asked, days, going_on=going_on)
    compiled = asked.trial.compile(asked.trial.water(course))

    def play(start: InitialState, claims: Draws, number: int, hours: tuple[int, ...]) -> Histories:
        return asked.trial.play_from(compiled, start, claims, number, hours)

    return play


@dataclass(frozen=True, slots=True)
class _Learned:
    """What the weighted histories say; nothing without a count."""

    posterior: PosteriorNow | None = None
    clear_now: OfTwenty | None = None
    if_stopped: OfTwenty | None = None
    going_on: OfTwenty | None = None
    effective: float = 0.0
    trust: float = 1.0
    played: int = 0
    predicted: tuple[Predicted, ...] = ()
    explained: bool = True


def _learned(asked: AskedCase, ensembles: _Ensembles | None) -> _Learned:
    if ensembles is None:
        return _Learned()
    going = ensembles.going_on
    return _Learned(
        posterior=_posterior_now(going, asked.now_h),
        clear_now=going.share(lambda h: clear_at(h, h.moment(asked.now_h))),
        if_stopped=opposite(ensembles.stopped.share(clear_at)),
        going_on=opposite(going.share(clear_at)),
        effective=going.effective,
        trust=going.trust,
        played=going.histories,
        predicted=predict(ensembles.searched, asked.seen),
        explained=not degenerate(going),
    )


def _answer(asked: AskedCase, ensembles: _Ensembles | None, began: float) -> FollowUp:
    view, first = asked.view, asked.view.opened.moment.day
    number = (asked.day - first).days
    days_looked = looks(view, midnight(view, first))
    earliest = not_before(days_looked, asked.stage_durations, number)
    latest = [look for look in days_looked if look.day <= number]
    last_day = max((look.day for look in latest), default=None)
    seen_last = any(look.seen for look in latest if look.day == last_day)
    known = _learned(asked, ensembles)
    unexpected = outside(known.predicted)
    wrong = bool(unexpected) or not known.explained
    inputs = DecisionInputs(
        number, last_day, seen_last, earliest, wrong, known.clear_now, known.if_stopped
    )
    return FollowUp(
        case=asked.case,
        day=asked.day,
        day_number=number,
        stage_durations=asked.stage_durations,
        not_before=earliest,
        posterior=known.posterior,
        clear_now=known.clear_now,
        returns_if_stopped=known.if_stopped,
        returns_going_on=known.going_on,
        effective=known.effective,
        trust=known.trust,
        played=known.played,
        predicted=known.predicted,
        unexpected=unexpected,
        explained=known.explained,
        examine=examine(_clues(asked)) if wrong else (),
        zero=_zero_words(asked, last_day, seen_last),
        decided=decide(inputs),
        next_check=_next_check(asked, earliest, number),
        rescheduled=asked.rescheduled,
        course_as_done=asked.course_as_done,
        now_h=asked.now_h,
        seed=asked.trial.seed,
        seconds=time.perf_counter() - began,
    )


def _posterior_now(ensemble: WeightedEnsemble, now_h: int) -> PosteriorNow:
    def at(histories: Histories) -> int:
        return histories.moment(now_h)

    return PosteriorNow(
        ensemble.posterior_range(lambda h: h.burden[:, at(h)].sum(axis=-1)),
        ensemble.posterior_range(lambda h: h.bottom[:, at(h)]),
        ensemble.posterior_range(lambda h: h.swimmers[:, at(h)]),
    )


def _zero_words(asked: AskedCase, last_day: int | None, seen_last: bool) -> str:
    """Say what the latest clean look cannot exclude, among the fish entered at the start."""
    if last_day is None or seen_last:
        return ""
    first = asked.view.opened.moment.day
    made = [
        count
        for count in asked.view.counts
        if (count.moment.day - first).days == last_day and count.state == "answered"
    ]
    named = {count.fish or count.group or "" for count in made if count.number is not None}
    examined = max([len(named), *(count.examined or 1 for count in made)])
    population = sum(group.count for group in asked.case.hosts)
    return sampling.in_words(0, examined, population=max(population, examined))


def _next_check(asked: AskedCase, earliest: NotBefore, today: int) -> date:
    """Return the day of the next look: the next planned count, but a look when the wait ends."""
    first = asked.view.opened.moment.day
    choices = []
    if earliest.day is not None and earliest.day > today:
        choices.append(earliest.day)
    ahead = () if asked.course_as_done is None else asked.course_as_done.ahead
    choices += [
        (asked.case.day_at(action.at_h) - first).days
        for action in ahead
        if isinstance(action, Count)
    ]
    later = [day for day in choices if day > today]
    every = read_levers(asked.case.facts).count_every_d
    return first + timedelta(days=min(later, default=today + every))


def _clues(asked: AskedCase) -> Clues:
    """Return what the record says that bears on a failure."""
    view, past, main = asked.view, asked.course_as_done, asked.case.main
    first = view.opened.moment
    came = [
        group.description.arrived
        for group in view.stock.values()
        if group.description.arrived is not None and group.description.arrived > first.text
    ]
    place = view.systems.get(main.id)
    marks = () if past is None else tuple(past.marks.values())
    proven = any(
        "ciliate" in k or k.startswith("m_") for k, a in view.evidence.items() if a.answers
    )
    return Clues(
        stopped=None if past is None else past.stopped_h is not None or "missed" in marks,
        other_amount=None if past is None else "other amount" in marks,
        carbon_in=main.carbon_in if past is None or past.carbon_in is None else past.carbon_in,
        uv_on=main.uv_on,
        volume_weak=None if place is None else place.volume.weak,
        new_animals=bool(came),
        shared_tools=None if place is None else bool(place.description.shared_tools),
        proven=proven,
        warm=None if past is None else any(action.kind == "warm" for action in past.done),
    )
