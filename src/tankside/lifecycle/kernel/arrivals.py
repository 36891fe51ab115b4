"""Swimmers that come later: brought in with water or fish, or carried over with a move."""

from __future__ import annotations

from tankside.lifecycle.kernel.chance import at, binomial, poisson
from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.layout import Whole, World
from tankside.lifecycle.kernel.positions import PulseColumn, Stream
from tankside.lifecycle.kernel.swimmers import advance_pool, deal_again

ARRIVE = int(Stream.ARRIVE)
HOUR = int(PulseColumn.HOUR)
SOURCE = int(PulseColumn.SOURCE)
TO = int(PulseColumn.TO)


@compiled
def bring(w: World, hour: Whole) -> None:
    """Let the swimmers due at the start of this hour come; each is dealt where it comes to.

    A pulse from outside brings a Poisson number; one from another body takes each swimmer
    alive there with the chance that its share of the water is carried.
    """
    for p in range(w.pulse_at.shape[0]):
        if w.pulse_at[p, HOUR] != hour:
            continue
        source, to = w.pulse_at[p, SOURCE], w.pulse_at[p, TO]
        w.state[0] = at(w.keys[ARRIVE], p)
        if source >= 0:
            advance_pool(w, source, hour)
            number = binomial(w.state, w.pool[source] + w.pending[source], w.pulse[p])
            w.pool[source] -= number
            deal_again(w, source, hour)
        else:
            number = poisson(w.state, w.pulse[p])
        if number > 0 and to >= 0:
            advance_pool(w, to, hour)
            w.pool[to] += number
            deal_again(w, to, hour)
