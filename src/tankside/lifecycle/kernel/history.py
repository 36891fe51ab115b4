"""One history from hour 0 to the end, and the loop over histories."""

from __future__ import annotations

from math import exp

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.arrivals import bring
from tankside.lifecycle.kernel.bottom import arrive, enter, finish
from tankside.lifecycle.kernel.chance import at, binomial, name_key, poisson, unit
from tankside.lifecycle.kernel.compiled import compiled, door
from tankside.lifecycle.kernel.damage import add_damage, any_carried, begin_damage
from tankside.lifecycle.kernel.finding import fill_finding
from tankside.lifecycle.kernel.fish import (
    add_hazard,
    bury,
    make_fish,
    safe_until,
    set_hazard,
)
from tankside.lifecycle.kernel.hazards import fill_removal
from tankside.lifecycle.kernel.layout import (
    ONE,
    PLACES,
    ZERO,
    Array,
    Real,
    Truth,
    Whole,
    Word,
    World,
)
from tankside.lifecycle.kernel.looking import look
from tankside.lifecycle.kernel.onfish import ANY, land, leave_fish, passed_watch, set_watch, settle
from tankside.lifecycle.kernel.positions import (
    BroodLaw,
    Column,
    DeathLaw,
    Flag,
    GroupSum,
    HazardHour,
    OnBottom,
    OnFish,
    PulseColumn,
    Stream,
    Work,
)
from tankside.lifecycle.kernel.rated import live_an_hour
from tankside.lifecycle.kernel.swimmers import advance_pool, deal_again, release

STAGES = int(Flag.STAGES)
TIMED_HOST = int(Flag.TIMED_HOST)
RATED_HOST = int(Flag.RATED_HOST)
SWIMMERS = int(Flag.SWIMMERS)
DEATH_LAW = int(Flag.DEATH_LAW)
LAST_PULSE = int(Flag.LAST_PULSE)
EXACT_START = int(Flag.EXACT_START)
SALT_HALF = int(Column.SALT_HALF)
SALT_STEEPNESS = int(Column.SALT_STEEPNESS)
HATCH_FROM = int(Column.HATCH_FROM)
HATCH_FULL = int(Column.HATCH_FULL)
HATCH_TOP = int(Column.HATCH_TOP)
HATCH_SHARE = int(Column.HATCH_SHARE)
BY_HAZARD = int(DeathLaw.HAZARD)
BY_DAMAGE = int(DeathLaw.DAMAGE)
ADDED = int(HazardHour.ADDED)
BEGIN = int(Stream.BEGIN)
BEGIN_AGE = int(Stream.BEGIN_AGE)
STEP = int(Stream.STEP)
HATCH = int(Stream.HATCH)
SURVIVORS = int(Stream.SURVIVORS)
MEAN = int(OnFish.MEAN)
CARRIERS = int(OnFish.CARRIERS)
AGE = int(OnFish.AGE)
BELOW_MEAN = int(OnBottom.MEAN)
PER_PARASITE = int(OnBottom.PER_PARASITE)
AREA = int(GroupSum.AREA)
LANDINGS = int(Work.LANDINGS)
HOURS_PLAYED = int(Work.HOURS_PLAYED)
PULSE_HOUR = int(PulseColumn.HOUR)
LAW_CHANCE = int(BroodLaw.CHANCE)
LAG = setting(0.04, "swimmers are dealt again when this part of the fish area has died")
FEW = whole_setting(4096, "more than this are thinned together")


@compiled
def begin(w: World, row: Whole) -> None:
    """Put on the fish, the bottom and in the water what is believed to be there at hour 0."""
    state = w.state
    state[0] = w.keys[BEGIN]
    for i in range(w.area.size):
        group = w.group_of[i]
        mean = w.start[row, group, MEAN]
        carriers = w.start[row, group, CARRIERS]
        age = w.start[row, group, AGE]
        if unit(at(w.keys[SURVIVORS], i)) < w.start_immune[row, group]:
            w.immune_from[i] = 0.0
            w.immune_first[0] = 0.0
        set_watch(w, i)
        if unit(at(w.keys[BEGIN], -1 - i)) >= carriers or mean <= 0:
            continue
        key = at(w.keys[BEGIN_AGE], i)
        number = np.int64(mean) if w.flags[EXACT_START] else poisson(state, mean)
        if w.flags[TIMED_HOST]:
            w.burden[i] += number
            _begin_on(w, i, key, number, age if age >= 0 else ANY)
        else:
            w.rated[i] += number
        if w.burden[i] + w.rated[i] > w.watch_at[i]:
            passed_watch(w, i, ZERO)
    if w.flags[DEATH_LAW] == BY_DAMAGE:
        w.hazard_hour[ADDED] = -1
        for i in range(w.area.size):
            begin_damage(w, i)
    for body in range(w.pool.size):
        _begin_body(w, row, body)


@compiled
def _begin_on(w: World, i: Whole, key: Word, number: Whole, age: Real) -> None:
    """Put parasites of an age on one fish, as many at a time as the list holds."""
    taken = ZERO
    for k in range(number):
        w.taken_fish[taken] = i
        w.taken_many[taken] = 1
        w.taken_bits[taken] = at(key, k)
        taken += 1
        if taken == w.taken_fish.size or k == number - 1:
            settle(w, ZERO, taken, age)
            taken = ZERO


@compiled
def _begin_body(w: World, row: Whole, body: Whole) -> None:
    on_fish = 0
    for i in range(w.area.size):
        if w.where[w.group_of[i], 0] == body:
            on_fish += w.burden[i] + w.rated[i]
    stages = w.flags[STAGES]
    if stages > 0:
        mean = w.start_bottom[row, body, BELOW_MEAN]
        mean += w.start_bottom[row, body, PER_PARASITE] * on_fish
        key = at(w.keys[BEGIN_AGE], -1 - body)
        enter(w, (stages - 1, body, ZERO), key, poisson(w.state, mean), ONE)
    if w.flags[SWIMMERS]:
        w.pool[body] = poisson(w.state, w.start_swimmers[row, body])
        if w.pool[body] > 0:
            deal_again(w, body, ZERO)


@compiled
def hatching(w: World, body: Whole, hour: Whole) -> tuple[Real, Real]:
    """Return (share of bottom stages that release, share of each brood) in this hour."""
    warm = w.temperature[body, hour]
    share = w.values[HATCH_SHARE]
    if w.values[HATCH_FULL] > w.values[HATCH_FROM]:
        ramp = (warm - w.values[HATCH_FROM]) / (w.values[HATCH_FULL] - w.values[HATCH_FROM])
        share *= min(max(ramp, 0.0), 1.0)
    share /= 1 + exp(2 * (warm - w.values[HATCH_TOP]))
    part = 1.0
    salt = w.salinity[body, hour]
    if w.values[SALT_HALF] > 0 and salt > 0:
        part = 1 / (1 + (salt / w.values[SALT_HALF]) ** w.values[SALT_STEEPNESS])
    return share, part


@compiled
def run_bottom(w: World, hour: Whole) -> None:
    """Pass bottom stages on, hour by hour, and release swimmers from the last."""
    stages = w.flags[STAGES]
    for body in range(w.pool.size):
        done = ZERO
        for stage in range(stages):
            if w.arrive[stage, body] > 0:
                arrive(w, (stage, body, hour))
            done = ZERO
            if w.low_count[stage, body] > 0:
                done = finish(w, (stage, body, hour))
            if stage + 1 < stages:
                w.arrive[stage + 1, body] += done
        if done > 0:
            share, part = hatching(w, body, hour)
            broods = _hatching_of(w, body, hour, done, share)
            if broods > 0 and w.flags[SWIMMERS]:
                release(w, body, hour, broods, part)


@compiled
def _hatching_of(w: World, body: Whole, hour: Whole, done: Whole, share: Real) -> Whole:
    """Return how many of those that finish release anything, each by a draw of its own."""
    if share >= 1 or done > FEW:
        return binomial(w.state, done, share)
    key = at(w.keys[HATCH], hour * PLACES + body)
    broods = np.int64(0)
    for k in range(done):
        if unit(at(key, k)) < share:
            broods += 1
    return broods


@compiled
def run_water(w: World, hour: Whole) -> None:
    """Let swimmers whose hour has come settle."""
    for body in range(w.pool.size):
        number = np.int64(w.land[body, hour])
        if number > 0:
            w.pending[body] -= number
            w.land[body, hour] = 0
            land(w, body, hour, number)


@compiled
def run_deaths(w: World, hour: Whole) -> None:
    """Take out the fish whose damage or hazard has passed their threshold."""
    passed = w.damage if w.flags[DEATH_LAW] == BY_DAMAGE else w.hazard
    for i in range(passed.size):
        if passed[i] <= w.threshold[i]:
            continue
        body = w.where[w.group_of[i], hour]
        leaving = bury(w, i, hour)
        if body >= 0 and w.flags[STAGES] > 0:
            w.arrive[0, body] += leaving
    if w.flags[SWIMMERS]:
        _deal_where_needed(w, hour)


@compiled
def _deal_where_needed(w: World, hour: Whole) -> None:
    """Deal swimmers again in bodies that have lost a part of their fish since last time.

    In between, contacts with the dead are rejected.
    """
    for body in range(w.pool.size):
        area = 0.0
        for group in range(w.group_sums.shape[0]):
            if w.where[group, hour] == body:
                area += w.group_sums[group, AREA]
        if area >= (1 - LAG) * w.dealt_area[body]:
            continue
        for i in range(w.alive.size):
            if w.where[w.group_of[i], hour] == body:
                w.counted[i] = w.alive[i]
        w.choice_stale[body] = 1
        advance_pool(w, body, hour)
        fill_finding(w, body, hour)
        deal_again(w, body, hour)


@compiled
def anything_left(w: World) -> Truth:
    """Whether any parasite is alive anywhere."""
    for i in range(w.burden.size):
        if w.burden[i] + w.rated[i] > 0:
            return True
    for body in range(w.pool.size):
        if w.pool[body] + w.pending[body] > 0:
            return True
        for stage in range(w.low_count.shape[0]):
            if w.low_count[stage, body] > 0:
                return True
    return False


@compiled
def run_hour(w: World, hour: Whole) -> None:
    """Play one hour."""
    if w.flags[LAST_PULSE] >= hour:
        bring(w, hour)
    w.state[0] = at(w.keys[STEP], hour)
    if w.flags[DEATH_LAW] == BY_HAZARD and add_hazard(w, hour):
        run_deaths(w, hour)
    if w.flags[DEATH_LAW] == BY_DAMAGE and add_damage(w, hour):
        run_deaths(w, hour)
    if w.moved[hour]:
        w.choice_stale[:] = 1
    if w.leaves[hour]:
        leave_fish(w, hour)
    if w.flags[RATED_HOST]:
        live_an_hour(w, hour)
    if w.flags[STAGES] > 0:
        run_bottom(w, hour)
    if w.flags[SWIMMERS]:
        run_water(w, hour)
    if w.flags[DEATH_LAW] == BY_HAZARD:
        set_hazard(w)
    w.total[HOURS_PLAYED] += 1


@compiled
def play_until(w: World, hour: Whole, until: Whole) -> None:
    """Play the hours in which anything is due."""
    busy = w.busy
    every = w.flags[RATED_HOST] == 1 and (anything_left(w) or hour <= w.flags[LAST_PULSE])
    while True:
        if not every and hour < until and busy[np.uint64(hour)] == 0:
            stop = until
            harmed = w.flags[DEATH_LAW] == BY_DAMAGE and any_carried(w)
            if w.flags[DEATH_LAW] == BY_HAZARD:
                stop = min(stop, safe_until(w))
            while hour < stop and busy[np.uint64(hour)] == 0:
                if harmed and add_damage(w, hour):
                    break
                hour += 1
        if hour >= until:
            return
        run_hour(w, hour)
        hour += 1


@compiled
def clean(w: World) -> None:
    """Empty what a history leaves behind that ends before its last hour."""
    w.fish_ring[:] = 0
    w.fish_lost[:] = 0
    w.settled_ring[:] = 0.0
    w.grown_ring[:] = 0
    w.low_ring[:] = 0
    w.low_lost[:] = 0
    w.land[:] = 0
    w.gone[:] = 0
    w.turned[:] = 0
    w.released[:] = 0.0


@compiled
def _open(w: World, row: Whole, seed: Whole) -> None:
    """Set the values, the random streams, the fish and the hazards of one history."""
    for column in range(w.values.size):
        w.values[column] = w.given_values[row, column]
    for stream in range(w.keys.size):
        w.keys[stream] = name_key(seed, w.given_index[row], stream)
    w.total[:] = 0
    for hour in range(w.busy.size):
        w.busy[hour] = w.moved[hour]
        w.leaves[hour] = 0
    w.low_count[:] = 0
    w.arrive[:] = 0
    w.pending[:] = 0
    w.pool[:] = 0
    w.pool_at[:] = 0
    w.brood_law[LAW_CHANCE] = -1.0
    for p in range(w.pulse.size):
        w.pulse[p] = w.given_pulse[row, p]
        w.busy[w.pulse_at[p, PULSE_HOUR]] = 1
    make_fish(w, row)
    fill_removal(w, row)
    if w.flags[SWIMMERS]:
        for body in range(w.pool.size):
            fill_finding(w, body, ZERO)


@compiled
def run_history(w: World, row: Whole, seed: Whole) -> None:
    """Play one history up to the last moment looked at and record it."""
    _open(w, row, seed)
    begin(w, row)
    if w.flags[DEATH_LAW] == BY_HAZARD:
        set_hazard(w)
    hour = ZERO
    for moment in range(w.record_h.size):
        play_until(w, hour, w.record_h[moment])
        hour = w.record_h[moment]
        if w.flags[SWIMMERS]:
            for body in range(w.pool.size):
                advance_pool(w, body, hour)
        look(w, row, moment)
    for kind in range(w.total.size):
        w.out_work[row, kind] = w.total[kind]
    if hour < w.busy.size:
        clean(w)


@door
def run_rows(w: World, rows: Array, seed: Whole) -> None:
    """Play the histories of these rows, one after another, in one thread."""
    clean(w)
    for k in range(rows.size):
        run_history(w, rows[k], seed)
