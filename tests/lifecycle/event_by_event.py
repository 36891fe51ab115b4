"""An exact second program for the frozen models: one event after another, in continuous time.

No steps, no tables, no hourly water, nothing shared with the package's loop. Residence times are
gamma variates in scaled time, which is turned back into hours in closed form; the kill of a
strength that decays is integrated in closed form; a fish dies when the integral of its hazard,
piecewise constant between changes of its burden, passes an exponential threshold, or, under the
law of damage, when its damage passes a log-logistic one: damage is integrated in closed form
between changes, with healing, on the ramp of warming and after it. Each swimmer is
an exponential race between death and contact with a fish alive at its start; one whose fish has
died since begins a new race (thinning, Lewis and Shedler 1979). Events wait in a binary heap.
"""

# ruff: noqa: NPY002 -- compiled code knows only the older generator

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from math import ceil, exp, floor, log
from typing import NamedTuple

import numpy as np
from numba import njit

from tankside.bench.kernel_models import Model

NEVER = 1e18
FALLS, LEAVES, MEETS = 0, 1, 1001
DAY = 24.0
LOT, ROOM = 1000, 8_000_000


class Facts(NamedTuple):
    """The figures of a frozen model."""

    hours: float
    fish: int
    infested: int
    each: int
    stay_h: float
    stay_steps: float
    below_h: float
    below_steps: float
    brood: int
    fading: float
    contact: float
    pull_steps: float
    lethal: float
    death_per_h: float
    leave_share: float
    warm_from: float
    warm_to: float
    warming_h: float
    most: float
    half_at: float
    dose: float
    decay: float
    siphon_at: float
    siphon: float
    change_at: float
    change: float
    load: float
    slope: float
    growth: float
    healing: float


def facts_of(model: Model) -> Facts:
    """Read the figures of a frozen model from its organism and its course."""
    claim = {key: stated.number() for key, stated in model.organism.claims.items()}
    course = model.settings
    fish = course["fish"]
    treated = course["treated"] if model.name == "B" else {}
    warm = [
        log(claim["feeding.residence_q10"]) * (c - claim["feeding.residence_ref_c"]) / 10
        for c in (course["start_c"], course["end_c"])
    ]
    return Facts(
        hours=model.tank_hours.hours,
        fish=fish["infested"] + fish["clean"],
        infested=fish["infested"],
        each=fish["parasites_each"],
        stay_h=claim["feeding.residence"],
        stay_steps=claim["feeding.residence_cv"] ** -2,
        below_h=claim["cyst.residence"],
        below_steps=claim["cyst.residence_cv"] ** -2,
        brood=int(claim["cyst.offspring"]),
        fading=log(2) / claim["swimmer.life"],
        contact=claim["swimmer.search_l_per_h"] / course["volume_l"],
        pull_steps=claim["host.attraction_cv"] ** -2,
        lethal=claim.get("host.lethal_burden", 1.0),
        death_per_h=claim.get("host.death_per_h", 0.0),
        leave_share=claim["host.dead_leave_share"],
        warm_from=warm[0],
        warm_to=warm[1],
        warming_h=course["warming_h"],
        most=treated.get("most_per_h", 0.0),
        half_at=treated.get("half_at_mg_l", 1.0),
        dose=treated.get("dose_mg_l", 0.0),
        decay=log(2) / treated.get("half_life_h", 1.0),
        siphon_at=treated.get("siphon_hour", 0.0),
        siphon=treated.get("siphon_share", 0.0),
        change_at=treated.get("water_hour", 0.0),
        change=treated.get("water_share", 0.0),
        load=claim.get("host.lethal_load", 0.0),
        slope=claim.get("host.lethal_slope", 1.0),
        growth=claim.get("host.harm_growth", 0.0),
        healing=claim.get("host.healing_per_d", 0.0) / DAY,
    )


@njit(cache=True)
def scaled(f: Facts, hour: float) -> float:
    """Return the integral of exp(warm(t)) from 0 to ``hour``; warm is a line, then level."""
    slope = (f.warm_to - f.warm_from) / f.warming_h
    start = exp(f.warm_from)
    if hour <= f.warming_h:
        return start * (exp(slope * hour) - 1) / slope
    ramp = start * (exp(slope * f.warming_h) - 1) / slope
    return ramp + exp(f.warm_to) * (hour - f.warming_h)


@njit(cache=True)
def hour_at(f: Facts, passed: float) -> float:
    """Return the hour at which the scaled time reaches ``passed``."""
    slope = (f.warm_to - f.warm_from) / f.warming_h
    start = exp(f.warm_from)
    ramp = start * (exp(slope * f.warming_h) - 1) / slope
    if passed <= ramp:
        return log(1 + passed * slope / start) / slope
    return f.warming_h + (passed - ramp) / exp(f.warm_to)


@njit(cache=True)
def times_done(at: float, hour: float) -> int:
    """Return how often something done daily at ``at`` has been done before ``hour``."""
    return max(ceil((hour - at) / DAY), 0)


@njit(cache=True)
def killed(f: Facts, hour: float) -> float:
    """Return the hazard that a course has put on swimmers up to ``hour``: kill and changes."""
    if f.most <= 0:
        return 0.0
    done = times_done(f.change_at, hour)
    total = -log(1 - f.change) * done
    strength = 0.0
    for k in range(done):
        strength = strength * (1 - f.change) + f.dose
        begin = f.change_at + DAY * k
        later = strength * exp(-f.decay * (min(begin + DAY, hour) - begin))
        total += f.most / f.decay * log((strength + f.half_at) / (later + f.half_at))
        strength = later
    return total


class Tank(NamedTuple):
    """What changes while a history is played."""

    pull: np.ndarray
    alive: np.ndarray
    burden: np.ndarray
    hazard: np.ndarray
    since: np.ndarray
    bears: np.ndarray
    due: np.ndarray
    settled: np.ndarray
    time: np.ndarray
    what: np.ndarray
    began: np.ndarray
    size: np.ndarray
    seen: np.ndarray
    killed_by: np.ndarray


@njit(cache=True)
def push(tank: Tank, time: float, what: int, began: float = 0.0) -> None:
    """Put an event on the heap; in a rare history one fish bears hundreds of thousands.

    ``began`` is the scaled time at which a parasite settled, for what leaves a fish.
    """
    k = tank.size[0]
    if k == tank.time.size:
        raise MemoryError
    tank.size[0] += 1
    while k > 0:
        above = (k - 1) // 2
        if tank.time[above] <= time:
            break
        tank.time[k], tank.what[k] = tank.time[above], tank.what[above]
        tank.began[k] = tank.began[above]
        k = above
    tank.time[k], tank.what[k], tank.began[k] = time, what, began


@njit(cache=True)
def pop(tank: Tank) -> tuple[int, float]:
    """Take the earliest event off the heap; return what it is and when it began."""
    first: int = tank.what[0]
    first_began: float = tank.began[0]
    tank.size[0] -= 1
    last = tank.size[0]
    time, what, began = tank.time[last], tank.what[last], tank.began[last]
    k = 0
    while 2 * k + 1 < last:
        below = 2 * k + 1
        if below + 1 < last and tank.time[below + 1] < tank.time[below]:
            below += 1
        if time <= tank.time[below]:
            break
        tank.time[k], tank.what[k] = tank.time[below], tank.what[below]
        tank.began[k] = tank.began[below]
        k = below
    tank.time[k], tank.what[k], tank.began[k] = time, what, began
    return first, first_began


@njit(cache=True)
def falls(f: Facts, tank: Tank, hour: float) -> None:
    """One parasite arrives on the bottom: when it finishes, or at which siphoning it is lost."""
    residence = np.random.gamma(f.below_steps, f.below_h / f.below_steps)
    until = hour_at(f, scaled(f, hour) + residence)
    if f.siphon > 0:
        bears = np.random.exponential(1.0) / -log(1 - f.siphon)
        lost = f.siphon_at + DAY * (times_done(f.siphon_at, hour) + floor(bears))
    else:
        lost = NEVER
    day = int(hour // DAY) + 1
    while day < tank.seen.shape[0] and day * DAY < min(until, lost):
        tank.seen[day, 1] += 1
        day += 1
    if until < min(lost, f.hours):
        push(tank, until, FALLS)


@njit(cache=True)
def meets(f: Facts, tank: Tank, hour: float, number: int) -> None:
    """Let ``number`` swimmers race from this hour on: death against contact."""
    total = 0.0
    for i in range(f.fish):
        total += tank.pull[i] * tank.alive[i]
    contact = f.contact * total
    rate = f.fading + contact
    meeting = np.random.binomial(number, contact / rate)
    before = killed(f, hour) if f.most > 0 else 0.0
    first = int(hour // DAY) + 1
    for _ in range(meeting):
        until = hour + np.random.exponential(1 / rate)
        bears = before + np.random.exponential(1.0) if f.most > 0 else NEVER
        day = first
        while day < tank.seen.shape[0] and day * DAY < until and tank.killed_by[day] < bears:
            tank.seen[day, 2] += 1
            day += 1
        if until < f.hours and (f.most <= 0 or killed(f, until) < bears):
            place = np.random.random() * total
            i = 0
            while i < f.fish - 1 and (tank.alive[i] == 0 or place >= tank.pull[i]):
                place -= tank.pull[i] * tank.alive[i]
                i += 1
            push(tank, until, MEETS + i)
    rest = number - meeting
    since, day = hour, first
    while rest > 0 and day < tank.seen.shape[0]:
        loss = rate * (day * DAY - since) + tank.killed_by[day] - before
        rest = np.random.binomial(rest, exp(-loss))
        tank.seen[day, 2] += rest
        before, since = tank.killed_by[day], day * DAY
        day += 1


@njit(cache=True)
def harmed(f: Facts, tank: Tank, i: int, until: float) -> float:
    """Return the damage of a fish at a later hour if nothing changes on it before.

    Harm per hour is s'(t) (a + b s(t)) with s the scaled time: exponentials on the ramp of
    warming, a line after it. Each is integrated against exp(-healing (until - t)).
    """
    number, sum_at, r = float(tank.burden[i]), tank.settled[i], f.healing
    a = (1 - f.growth) * number / f.stay_h - 2 * f.growth * sum_at / f.stay_h**2
    b = 2 * f.growth * number / f.stay_h**2
    damage, since = float(tank.hazard[i]), float(tank.since[i])
    top = min(until, f.warming_h)
    if since < top:
        m = (f.warm_to - f.warm_from) / f.warming_h
        first = exp(f.warm_from)
        left = exp(-r * (top - since))
        once = (exp(m * top) - left * exp(m * since)) / (m + r)
        twice = (exp(2 * m * top) - left * exp(2 * m * since)) / (2 * m + r)
        damage = damage * left + first * (a - b * first / m) * once + b * first**2 / m * twice
        since = top
    if since < until:
        speed, hours = exp(f.warm_to), until - since
        begin, rise = speed * (a + b * scaled(f, since)), speed**2 * b
        left = exp(-r * hours)
        damage = damage * left + begin * (1 - left) / r + rise * (hours / r - (1 - left) / r**2)
    return damage


@njit(cache=True)
def dies_at(f: Facts, tank: Tank, i: int) -> float:
    """Return the hour at which the damage of a fish passes its threshold, or one to look again.

    While its burden stands, damage falls and then rises, so it passes at most once.
    """
    if tank.burden[i] == 0:
        return NEVER
    low, high = tank.since[i], tank.since[i] + DAY
    if harmed(f, tank, i, high) <= tank.bears[i]:
        return float(high)
    for _ in range(50):
        middle = (low + high) / 2
        if harmed(f, tank, i, middle) > tank.bears[i]:
            high = middle
        else:
            low = middle
    return float(high)


@njit(cache=True)
def change(f: Facts, tank: Tank, i: int, hour: float, by: int, began: float) -> None:
    """Change the burden of a fish; its hazard or damage starts anew from here."""
    if f.load > 0:
        tank.hazard[i] = harmed(f, tank, i, hour)
        tank.since[i] = hour
        tank.burden[i] += by
        tank.settled[i] += by * began
        tank.due[i] = dies_at(f, tank, i)
        return
    x = (tank.burden[i] / f.lethal) ** 2
    tank.hazard[i] += f.death_per_h * x / (1 + x) * (hour - tank.since[i])
    tank.since[i] = hour
    tank.burden[i] += by
    x = (tank.burden[i] / f.lethal) ** 2
    left = tank.bears[i] - tank.hazard[i]
    tank.due[i] = hour + left / (f.death_per_h * x / (1 + x)) if tank.burden[i] > 0 else NEVER


@njit(cache=True)
def lands(f: Facts, tank: Tank, i: int, hour: float) -> None:
    """One parasite settles on a fish."""
    began = scaled(f, hour)
    change(f, tank, i, hour, 1, began)
    residence = np.random.gamma(f.stay_steps, f.stay_h / f.stay_steps)
    until = hour_at(f, began + residence)
    if until < f.hours:
        push(tank, until, LEAVES + i, began)


@njit(cache=True)
def dies(f: Facts, tank: Tank, i: int, hour: float) -> None:
    """A fish dies; each parasite leaves it alive by the toss of a coin."""
    number = tank.burden[i]
    tank.alive[i], tank.burden[i], tank.due[i] = 0, 0, NEVER
    for _ in range(number):
        if np.random.random() < f.leave_share:
            falls(f, tank, hour)


@njit(cache=True)
def happens(f: Facts, tank: Tank, what: int, began: float, hour: float) -> None:
    """Let one event of the heap happen."""
    if what == FALLS:
        meets(f, tank, hour, f.brood)
    elif what < MEETS:
        i = what - LEAVES
        if tank.alive[i]:
            change(f, tank, i, hour, -1, began)
            falls(f, tank, hour)
    elif tank.alive[what - MEETS]:
        lands(f, tank, what - MEETS, hour)
    else:
        meets(f, tank, hour, 1)


@njit(cache=True)
def play(f: Facts, tank: Tank) -> None:
    """Play one history; fill ``seen``."""
    days = tank.seen.shape[0] - 1
    day = 0
    while day <= days:
        i = int(np.argmin(tank.due))
        soonest = tank.time[0] if tank.size[0] > 0 else NEVER
        hour = min(soonest, tank.due[i])
        while day <= days and day * DAY <= hour:
            tank.seen[day, 0] = tank.burden.sum()
            tank.seen[day, 3] = tank.alive.sum()
            day += 1
        if hour >= f.hours:
            continue
        if tank.due[i] > soonest:
            what, began = pop(tank)
            happens(f, tank, what, began, hour)
        elif f.load > 0 and harmed(f, tank, i, hour) <= tank.bears[i]:
            change(f, tank, i, hour, 0, 0.0)
        else:
            dies(f, tank, i, hour)


@njit(cache=True)
def bears(f: Facts) -> float:
    """Draw what a fish bears: a hazard of unit mean, or a log-logistic damage."""
    if f.load == 0:
        return np.random.exponential(1.0)
    uniform = np.random.random()
    return float(f.load * (uniform / (1 - uniform)) ** (1 / f.slope))


@njit(cache=True, nogil=True)
def outbreaks(f: Facts, seed: int, runs: int, room: int) -> np.ndarray:
    """Return (runs, days + 1, 5): on fish, bottom, swimmers, fish alive, nothing left.

    ``room`` is the number of events that fit on the heap.
    """
    np.random.seed(seed)
    days = int(f.hours // DAY)
    out = np.zeros((runs, days + 1, 5), dtype=np.int32)
    by = np.array([killed(f, day * DAY) for day in range(days + 1)])
    time, what, began = np.empty(room), np.empty(room, dtype=np.int16), np.empty(room)
    for run in range(runs):
        tank = Tank(
            np.array([np.random.gamma(f.pull_steps, 1 / f.pull_steps) for _ in range(f.fish)]),
            np.ones(f.fish, dtype=np.int64),
            np.zeros(f.fish, dtype=np.int64),
            np.zeros(f.fish),
            np.zeros(f.fish),
            np.array([bears(f) for _ in range(f.fish)]),
            np.full(f.fish, NEVER),
            np.zeros(f.fish),
            time,
            what,
            began,
            np.zeros(1, dtype=np.int64),
            out[run],
            by,
        )
        for i in range(f.infested):
            for _ in range(f.each):
                lands(f, tank, i, 0.0)
        play(f, tank)
        for day in range(days + 1):
            out[run, day, 4] = out[run, day, :3].sum() == 0
    return out


def histories(model: Model, runs: int, seed: int = 1) -> np.ndarray:
    """Return (runs, days + 1, 5) of a frozen model, in lots with a seed each, on two threads."""
    facts = facts_of(model)
    lots = [min(LOT, runs - begin) for begin in range(0, runs, LOT)]
    outbreaks(facts, seed, 1, ROOM)
    with ThreadPoolExecutor(2) as pool:
        lots_run = pool.map(lambda k: outbreaks(facts, seed + k, lots[k], ROOM), range(len(lots)))
        return np.concatenate(list(lots_run))
