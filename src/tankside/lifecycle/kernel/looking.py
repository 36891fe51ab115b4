"""Write down what is there at one moment of one history."""

from __future__ import annotations

from tankside.claims import whole_setting
from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.layout import ZERO, Whole, World

BURDEN, VISIBLE, WORST, INFESTED, ALIVE = range(whole_setting(5, "columns of Out.group"))


@compiled
def look(w: World, row: Whole, moment: Whole) -> None:
    """Record one moment (before the events of its hour)."""
    for group in range(w.group_alive.size):
        carried, seen, worst, infested = ZERO, ZERO, ZERO, ZERO
        for i in range(w.first[group], w.first[group + 1]):
            number = w.burden[i] + w.rated[i]
            carried += number
            infested += 1 if number > 0 else 0
            seen += w.grown[0, i]
            worst = max(worst, w.grown[0, i])
        w.out_group[row, moment, group, BURDEN] = carried
        w.out_group[row, moment, group, VISIBLE] = seen
        w.out_group[row, moment, group, WORST] = worst
        w.out_group[row, moment, group, INFESTED] = infested
        w.out_group[row, moment, group, ALIVE] = w.group_alive[group]
    for k in range(w.watch.size):
        i = w.watch[k]
        w.out_fish[row, moment, k, 0] = w.burden[i] + w.rated[i]
        w.out_fish[row, moment, k, 1] = w.grown[0, i]
        w.out_fish[row, moment, k, 2] = w.alive[i]
    for body in range(w.pool.size):
        settled = ZERO
        for stage in range(w.low_count.shape[0]):
            settled += w.low_count[stage, body]
        w.out_body[row, moment, body, 0] = settled
        w.out_body[row, moment, body, 1] = w.pool[body] + w.pending[body]
