"""Write down what is there at one moment of one history."""

from __future__ import annotations

from tankside.claims import whole_setting
from tankside.lifecycle.kernel.clock import first_at_least
from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.layout import Column, Flag, Whole, World

HOST_STAY = int(Column.HOST_STAY)
UNSEEN_LEFT = int(Column.UNSEEN_LEFT)
LOOK_AT_SPOTS = int(Flag.LOOK_AT_SPOTS)
REMOVAL = int(Flag.HOST_REMOVAL)
BURDEN, VISIBLE, WORST, INFESTED, ALIVE = range(whole_setting(5, "columns of Out.group"))


@compiled
def visible_on(w: World, i: Whole, hour: Whole) -> Whole:
    """Return how many parasites on a fish are old enough to be seen."""
    clock = w.host_clock[w.group_of[i]]
    until = first_at_least(clock, clock[hour] + w.values[UNSEEN_LEFT] * w.values[HOST_STAY])
    number = 0
    for later in range(hour, min(until, w.fish_ring.shape[0])):
        number += w.fish_ring[later, i]
        if w.flags[REMOVAL]:
            number += w.fish_lost[later, i]
    return number


@compiled
def look(w: World, row: Whole, moment: Whole, hour: Whole) -> None:
    """Record one moment (before the events of its hour)."""
    table = w.out_group[row, moment]
    table[:] = 0
    spots = w.flags[LOOK_AT_SPOTS] == 1
    watched = 0
    for i in range(w.burden.size):
        group = w.group_of[i]
        number = w.burden[i] + w.rated[i]
        seen = 0
        if spots and w.burden[i] > 0:
            seen = visible_on(w, i, hour)
        table[group, BURDEN] += number
        table[group, VISIBLE] += seen
        table[group, WORST] = max(table[group, WORST], seen)
        if w.alive[i]:
            table[group, ALIVE] += 1
            if number > 0:
                table[group, INFESTED] += 1
        if watched < w.watch.size and w.watch[watched] == i:
            w.out_fish[row, moment, watched, 0] = number
            w.out_fish[row, moment, watched, 1] = seen
            w.out_fish[row, moment, watched, 2] = w.alive[i]
            watched += 1
    for body in range(w.pool.size):
        settled = 0
        for stage in range(w.low_count.shape[0]):
            settled += w.low_count[stage, body]
        w.out_body[row, moment, body, 0] = settled
        w.out_body[row, moment, body, 1] = w.pool[body] + w.pending[body]
