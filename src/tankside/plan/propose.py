"""Propose candidate courses: every sensible pull of the levers, never a list of ready ones."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil, isfinite

from tankside.plan import parts as part
from tankside.plan.candidate import NO_TREATMENT, WATER_ONLY, Candidate, CandidatePart, Lever
from tankside.plan.levers import Levers
from tankside.plan.situation import Situation, Staying, Substance
from tankside.plan.timing import after_hatching_d, course_days, redose_every_d, round_litres
from tankside.plan.titration import days_of, strength_tests, titrated
from tankside.quantity.per import HOURS_PER_DAY


@dataclass(frozen=True, slots=True)
class _Rhythm:
    """How water is changed: litres, days between, and whether the bottom is siphoned."""

    litres: float
    every_d: int
    siphoning: bool


def propose(situation: Situation, levers: Levers) -> tuple[Candidate, ...]:
    """Return every candidate course for a case, "water only" and "no treatment" first.

    Args:
        situation: the case.
        levers: values each lever may take.

    Returns:
        Candidates with unique names. None is left out for safety here: a forbidden one is
        blocked later, with its reason.
    """
    days = course_days(situation.stage_durations, levers.lengths[0], situation.tail_d)
    candidates: list[Candidate] = [_water_only(situation, levers, days)]
    candidates.append(
        Candidate(NO_TREATMENT, NO_TREATMENT, days, (_checks(situation, levers, days),))
    )
    candidates += _water_variants(situation, levers)
    for substance in situation.substances:
        candidates += _with_substance(situation, levers, substance)
    candidates += _warming(situation, levers)
    candidates += _mechanical(situation, levers)
    candidates += _moving(situation, levers)
    return tuple({candidate.name: candidate for candidate in reversed(candidates)}.values())[::-1]


def _lengths(situation: Situation, levers: Levers) -> tuple[int, ...]:
    """Return course lengths in days, from the first step on."""
    start = situation.first_h // HOURS_PER_DAY
    return tuple(
        sorted(
            {
                start + course_days(situation.stage_durations, cycles, situation.tail_d)
                for cycles in levers.lengths
            }
        )
    )


def _days_with(situation: Situation, levers: Levers, substance: Substance) -> tuple[int, ...]:
    """Return course lengths with a substance, the way up and the printed length included."""
    lengths, titration = _lengths(situation, levers), substance.titration
    if titration is None:
        return lengths
    return tuple(sorted({days_of(titration, days, situation.first_h) for days in lengths}))


def _rhythms(situation: Situation, levers: Levers) -> tuple[_Rhythm, ...]:
    """Return rhythms of changing water, the usual share each time.

    The bottom is siphoned at the shortest and at the longest interval; plain changes are tried at
    the longest, which shows what siphoning adds and what the least work does.
    """
    volume = situation.body(situation.main).volume.point_l
    litres = situation.change_l or round_litres(levers.usual_change * volume, volume)
    every_d = redose_every_d(situation.stage_durations, levers.change_every_d)
    ends = tuple(dict.fromkeys((every_d[0], every_d[-1])))
    siphoned = tuple(_Rhythm(litres, every, siphoning=True) for every in ends)
    return (*siphoned, _Rhythm(litres, every_d[-1], siphoning=False))


def _checks(situation: Situation, levers: Levers, days: int, moved_to: str = "") -> CandidatePart:
    return part.checks(situation, days, levers, moved_to or situation.main)


def _water(situation: Situation, rhythm: _Rhythm, days: int) -> CandidatePart:
    body = situation.body(situation.main)
    return part.changes(
        body, rhythm.litres, situation.first_h, rhythm.every_d, days, rhythm.siphoning
    )


def _water_only(situation: Situation, levers: Levers, days: int) -> Candidate:
    body, rhythm = situation.body(situation.main), _rhythms(situation, levers)[0]
    pulled = (
        *part.air(body, situation.first_h),
        _water(situation, rhythm, days),
        _checks(situation, levers, days),
    )
    return Candidate(WATER_ONLY, WATER_ONLY, days, pulled)


def _water_variants(situation: Situation, levers: Levers) -> Iterator[Candidate]:
    body = situation.body(situation.main)
    volume = body.volume.point_l
    shares = () if situation.change_l else levers.change_shares
    usual = _rhythms(situation, levers)[0]
    wider = {round_litres(share * volume, volume) for share in shares} | {usual.litres}
    days = _lengths(situation, levers)[-1]
    for litres in sorted(wider):
        rhythm = _Rhythm(litres, usual.every_d, siphoning=True)
        water = _water(situation, rhythm, days)
        pulled = (*part.air(body, situation.first_h), water, _checks(situation, levers, days))
        yield Candidate(f"water only, {water.words}, {days} days", WATER_ONLY, days, pulled)


def _with_substance(
    situation: Situation, levers: Levers, substance: Substance
) -> Iterator[Candidate]:
    """Strength x length x rhythm at the present temperature; warming with the first rhythm."""
    for strength in substance.strengths_mg_l:
        for days in _days_with(situation, levers, substance):
            for rhythm in _rhythms(situation, levers):
                yield from _dosed(situation, levers, substance, strength, days, rhythm)
        for to_c in situation.warm_to_c:
            days = _days_with(situation, levers, substance)[0]
            rhythm = _rhythms(situation, levers)[0]
            yield from _dosed(situation, levers, substance, strength, days, rhythm, to_c)
        yield from _few_doses(situation, levers, substance, strength)


def _few_doses(
    situation: Situation, levers: Levers, substance: Substance, strength: float
) -> Iterator[Candidate]:
    """Two or three doses, each when eggs that the last one spared have hatched."""
    if substance.in_steps or substance.titration is not None:
        return
    body, least_d = situation.body(situation.main), min(substance.again_every_d, default=0)
    days = _days_with(situation, levers, substance)[0]
    ends = {rhythm.every_d: rhythm for rhythm in _rhythms(situation, levers) if rhythm.siphoning}
    for every in after_hatching_d(situation.egg_window_d, least_d):
        for number in levers.few_doses:
            dosing = part.few_doses(body, substance, strength, situation.first_h, every, number)
            for rhythm in ends.values():
                made = _with_dosing(situation, levers, substance, dosing, days, rhythm)
                yield replace(made, kind=f"{substance.agent} in {number} doses")


def _dosed(
    situation: Situation,
    levers: Levers,
    substance: Substance,
    strength: float,
    days: int,
    rhythm: _Rhythm,
    to_c: float | None = None,
) -> Iterator[Candidate]:
    for dosing in _ways(situation, levers, substance, strength, days, situation.main):
        yield _with_dosing(situation, levers, substance, dosing, days, rhythm, to_c)


def _with_dosing(
    situation: Situation,
    levers: Levers,
    substance: Substance,
    dosing: CandidatePart,
    days: int,
    rhythm: _Rhythm,
    to_c: float | None = None,
) -> Candidate:
    """Return one way of dosing with everything that belongs to it."""
    body, at_h = situation.body(situation.main), situation.first_h
    warming = () if to_c is None else (part.warm(body, to_c, at_h, levers),)
    before = (*part.media_out(body, at_h), *part.air(body, at_h), *warming)
    first = situation.first_h + rhythm.every_d * HOURS_PER_DAY
    water = part.changes(body, rhythm.litres, first, rhythm.every_d, days, rhythm.siphoning)
    after = (
        part.take_out(body, rhythm.litres, days, levers, substance),
        *_tests(situation, levers, substance, days, situation.main),
        _checks(situation, levers, days),
    )
    name = ", ".join((dosing.words, *(w.words for w in warming), water.words, f"{days} days"))
    end = days + levers.removal_changes
    return Candidate(name, substance.agent, end, (*before, water, dosing, *after))


def _tests(
    situation: Situation, levers: Levers, substance: Substance, days: int, place: str
) -> tuple[CandidatePart, ...]:
    """Return the tests of a substance that is brought to strength by them in one body."""
    if substance.titration is None:
        return ()
    body, at_h = situation.body(place), situation.first_h
    tests = strength_tests(body, substance.agent, substance.titration, at_h, days, levers)
    return (tests,)


def _ways(
    situation: Situation,
    levers: Levers,
    substance: Substance,
    strength: float,
    days: int,
    place: str,
) -> Iterator[CandidatePart]:
    """Salt in steps; another agent held by putting back, and, if it fades, given again in full."""
    body, at_h = situation.body(place), situation.first_h
    if substance.in_steps:
        yield part.salt(body, substance, strength, at_h, levers)
        return
    if substance.titration is not None:
        yield titrated(body, substance, substance.titration, strength, at_h, days)
        return
    yield part.dose(body, substance, strength, at_h, 0, days)
    if substance.staying is Staying.FADES:
        for every in redose_every_d(situation.stage_durations, substance.again_every_d):
            yield part.dose(body, substance, strength, at_h, every, days)


def _warming(situation: Situation, levers: Levers) -> Iterator[Candidate]:
    body, at_h = situation.body(situation.main), situation.first_h
    days, rhythm = _lengths(situation, levers)[0], _rhythms(situation, levers)[0]
    for to_c in situation.warm_to_c:
        heat, water = part.warm(body, to_c, at_h, levers), _water(situation, rhythm, days)
        pulled = (*part.air(body, at_h), heat, water, _checks(situation, levers, days))
        name = f"{heat.words}, {water.words}, {days} days"
        yield Candidate(name, "warming", days, pulled)


def _mechanical(situation: Situation, levers: Levers) -> Iterator[Candidate]:
    """Fine filter and UV where no drug is in the water, with the water changed as usual."""
    body, at_h = situation.body(situation.main), situation.first_h
    days, rhythm = _lengths(situation, levers)[0], _rhythms(situation, levers)[0]
    water = _water(situation, rhythm, days)
    for pulled in (part.uv_on(body, at_h), part.fine_filter(body, at_h)):
        if pulled:
            name = f"{pulled[0].words}, {water.words}, {days} days"
            rest = (water, _checks(situation, levers, days))
            yield Candidate(name, str(pulled[0].lever), days, (*pulled, *rest))


def _moving(situation: Situation, levers: Levers) -> Iterator[Candidate]:
    """A move to a spare body with the display fishless; transfers between two spare bodies."""
    days = _lengths(situation, levers)[0]
    for target in situation.spare:
        moved = part.move(situation, target, situation.first_h)
        body = situation.body(target)
        litres = round_litres(levers.usual_change * body.volume.point_l, body.volume.point_l)
        first = situation.first_h + HOURS_PER_DAY
        water = part.changes(body, litres, first, 1, days, siphoning=True)
        air = part.air(body, situation.first_h)
        rest = (*air, water, _checks(situation, levers, days, target))
        yield Candidate(f"{moved.words}, {days} days", str(Lever.TRANSFER), days, (moved, *rest))
        yield from _moved_and_salted(situation, levers, moved, target, days)
        yield from _moved_and_dosed(situation, levers, moved, target)
    fast_cyst_h, slow_stay_d = (
        situation.stage_durations.bottom[0],
        situation.stage_durations.on_fish[2],
    )
    enough = len(situation.spare) > 1 and isfinite(slow_stay_d)
    every_h = int(fast_cyst_h * HOURS_PER_DAY)
    if enough and every_h > 0:
        times = ceil(slow_stay_d * HOURS_PER_DAY / every_h) + 1
        bodies = situation.spare[:2]
        moved = part.moves(situation, bodies, situation.first_h, every_h, times)
        rest = (_checks(situation, levers, days),)
        yield Candidate(f"{moved.words}", str(Lever.TRANSFER), days, (moved, *rest))


def _moved_and_salted(
    situation: Situation, levers: Levers, moved: CandidatePart, target: str, days: int
) -> Iterator[Candidate]:
    body = situation.body(target)
    litres = round_litres(levers.usual_change * body.volume.point_l, body.volume.point_l)
    for substance in situation.substances:
        for strength in substance.strengths_mg_l if substance.in_steps else ():
            salting = part.salt(body, substance, strength, situation.first_h, levers)
            first = situation.first_h + HOURS_PER_DAY
            water = part.changes(body, litres, first, 1, days, siphoning=True)
            rest = (*part.media_out(body, situation.first_h), water, salting)
            name = f"{moved.words}, {salting.words} there, {days} days"
            pulled = (moved, *rest, _checks(situation, levers, days, target))
            yield Candidate(name, f"{Lever.TRANSFER} and {substance.agent}", days, pulled)


def _moved_and_dosed(
    situation: Situation, levers: Levers, moved: CandidatePart, target: str
) -> Iterator[Candidate]:
    """Where the display holds invertebrates: all fish moved out, and another agent given there."""
    if not situation.holds_others:
        return
    body, at_h = situation.body(target), situation.first_h
    litres = round_litres(levers.usual_change * body.volume.point_l, body.volume.point_l)
    every_d = redose_every_d(situation.stage_durations, levers.change_every_d)[-1]
    for substance in (s for s in situation.substances if not s.in_steps):
        days = _days_with(situation, levers, substance)[0]
        water = part.changes(body, litres, at_h + every_d * HOURS_PER_DAY, every_d, days,
                             siphoning=True)  # fmt: skip
        for strength in substance.strengths_mg_l:
            for dosing in _ways(situation, levers, substance, strength, days, target):
                pulled = (
                    moved, *part.media_out(body, at_h), *part.air(body, at_h), water, dosing,
                    part.take_out(body, litres, days, levers, substance),
                    *_tests(situation, levers, substance, days, target),
                    _checks(situation, levers, days, target),
                )  # fmt: skip
                name = f"{moved.words}, {dosing.words} there, {water.words}, {days} days"
                kind = f"{Lever.TRANSFER} and {substance.agent}"
                yield Candidate(name, kind, days + levers.removal_changes, pulled)
