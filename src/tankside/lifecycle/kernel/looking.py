"""Write down what is there at one moment of one history."""

from __future__ import annotations

from tankside.claims import whole_setting
from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.layout import Whole, World

BURDEN, VISIBLE, WORST, INFESTED, ALIVE = range(whole_setting(5, "columns of Out.group"))


@compiled
def look(w: World, row: Whole, moment: Whole, hour: Whole) -> None:
    """Record one moment (before the events of its hour)."""
    table = w.out_group[row, moment]
    table[:] = 0
    watched = 0
    for i in range(w.burden.size):
        group = w.group_of[i]
        number = w.burden[i] + w.rated[i]
        seen = w.grown[0, i]
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
