"""Write down what is there at one moment of one history."""

from __future__ import annotations

from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.layout import ZERO, Whole, World
from tankside.lifecycle.kernel.positions import BodyCount, FishCount, GroupColumn, Grown

BURDEN = int(GroupColumn.BURDEN)
VISIBLE = int(GroupColumn.VISIBLE)
WORST_VISIBLE = int(GroupColumn.WORST_VISIBLE)
INFESTED = int(GroupColumn.INFESTED)
ALIVE = int(GroupColumn.ALIVE)
FISH_BURDEN = int(FishCount.BURDEN)
FISH_VISIBLE = int(FishCount.VISIBLE)
FISH_ALIVE = int(FishCount.ALIVE)
BOTTOM = int(BodyCount.BOTTOM)
SWIMMERS = int(BodyCount.SWIMMERS)
GROWN_VISIBLE = int(Grown.VISIBLE)


@compiled
def look(w: World, row: Whole, moment: Whole) -> None:
    """Record one moment (before the events of its hour)."""
    for group in range(w.group_alive.size):
        carried, seen, worst, infested = ZERO, ZERO, ZERO, ZERO
        for i in range(w.first[group], w.first[group + 1]):
            number = w.burden[i] + w.rated[i]
            carried += number
            infested += 1 if number > 0 else 0
            seen += w.grown[GROWN_VISIBLE, i]
            worst = max(worst, w.grown[GROWN_VISIBLE, i])
        w.out_group[row, moment, group, BURDEN] = carried
        w.out_group[row, moment, group, VISIBLE] = seen
        w.out_group[row, moment, group, WORST_VISIBLE] = worst
        w.out_group[row, moment, group, INFESTED] = infested
        w.out_group[row, moment, group, ALIVE] = w.group_alive[group]
    for k in range(w.watch.size):
        i = w.watch[k]
        w.out_fish[row, moment, k, FISH_BURDEN] = w.burden[i] + w.rated[i]
        w.out_fish[row, moment, k, FISH_VISIBLE] = w.grown[GROWN_VISIBLE, i]
        w.out_fish[row, moment, k, FISH_ALIVE] = w.alive[i]
    for body in range(w.pool.size):
        settled = ZERO
        for stage in range(w.low_count.shape[0]):
            settled += w.low_count[stage, body]
        w.out_body[row, moment, body, BOTTOM] = settled
        w.out_body[row, moment, body, SWIMMERS] = w.pool[body] + w.pending[body]
