"""Working memory of one thread, sized for one stratum."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from tankside.claims import whole_setting
from tankside.lifecycle.kernel.layout import fields
from tankside.lifecycle.kernel.positions import (
    STREAMS,
    BroodLaw,
    DeathLaw,
    Flag,
    GroupSum,
    Grown,
    HazardHour,
    Released,
    Work,
)

BROOD = whole_setting(8192, "most of one brood that settle")
TAKEN = whole_setting(6, "parasites per fish and hour that are drawn one by one")
BROOD_GUIDE = whole_setting(64, "cells of uniform numbers")
KINDS = {name: np.dtype(kind) for name, kind, _ in fields()}
EACH_FISH = (
    "susceptibility area tolerance threshold hazard hazard_rate alive counted burden rated watch_at"
    " place damage settled_sum squared_ages immune_from choice_weight"
)
Arrays = dict[str, np.ndarray[Any, Any]]


def scratch_for(shared: Mapping[str, Any], columns: int) -> Arrays:
    """Return fresh working arrays for one thread.

    Args:
        shared: arrays of the stratum.
        columns: of the values each history carries.
    """
    shapes = _shapes(shared) | {"values": (columns,)}
    return {name: np.zeros(shape, dtype=KINDS[name]) for name, shape in shapes.items()}


def _shapes(shared: Mapping[str, Any]) -> dict[str, tuple[int, ...]]:
    groups, hours = shared["where"].shape
    stages, bodies = shared["low_clock"].shape[:2]
    fish = shared["group_of"].size
    timed = int(shared["flags"][Flag.TIMED_HOST])
    removal = int(shared["flags"][Flag.HOST_REMOVAL])
    damage = int(shared["flags"][Flag.DEATH_LAW] == DeathLaw.DAMAGE)
    grown = int(shared["flags"][Flag.LOOK_AT_SPOTS] or shared["flags"][Flag.PART_LEAVES_DEAD])
    shapes: dict[str, tuple[int, ...]] = dict.fromkeys(EACH_FISH.split(), (fish,))
    shapes |= dict.fromkeys(("rates", "host_rates", "busy", "leaves"), (hours,))
    shapes |= dict.fromkeys(("pending", "pool", "pool_at", "share_top", "dealt_area"), (bodies,))
    shapes |= dict.fromkeys(("choice_size", "choice_stale"), (bodies,))
    shapes |= dict.fromkeys(("land", "gone", "leave", "share", "find_new"), (bodies, hours))
    shapes |= dict.fromkeys(("leave_clock", "find", "turned"), (bodies, hours + 1))
    shapes |= dict.fromkeys(("choice_cut", "choice_own", "choice_other"), (bodies, fish))
    shapes |= dict.fromkeys(("low_ring", "low_lost"), (stages, bodies, hours))
    shapes |= dict.fromkeys(("low_count", "arrive"), (stages, bodies))
    return (
        shapes
        | _lists(fish)
        | {
            "pulse": (shared["pulse_at"].shape[0],),
            "group_sums": (groups, len(GroupSum)),
            "group_alive": (groups,),
            "fish_ring": (hours if timed else 1, fish),
            "fish_lost": (hours if timed and removal else 1, fish),
            "settled_ring": (hours if damage else 1, fish),
            "grown": (len(Grown), fish),
            "grown_ring": (len(Grown), hours if grown else 1, fish),
            "cumulative": (stages + 1, bodies, hours + 1),
            "jump": (stages + 1, bodies, hours),
            "host_cumulative": (groups, hours + 1),
            "host_jump": (groups, hours),
            "released": (bodies, hours, len(Released)),
            "choice_stack": (2, fish),
            "total": (len(Work),),
        }
    )


def _lists(fish: int) -> dict[str, tuple[int, ...]]:
    """Return the shapes that depend on no hour and no body of water."""
    taken = (TAKEN * fish,)
    return {
        "taken_fish": taken,
        "taken_many": taken,
        "taken_bits": taken,
        "dealt": (2 * BROOD,),
        "brood": (BROOD,),
        "brood_guide": (BROOD_GUIDE,),
        "brood_law": (len(BroodLaw),),
        "hazard_hour": (len(HazardHour),),
        "keys": (STREAMS,),
        "state": (1,),
        "immune_first": (1,),
    }
