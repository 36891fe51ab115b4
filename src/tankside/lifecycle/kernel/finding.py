"""How swimmers find fish in one history: competing hazards of death, fading and contact.

A swimmer leaves the water at hazard L = death + fading + search x area / volume; a share
``establish x area x susceptibility`` of its contacts settles. What removes swimmers (agents,
flow, water changes) is not in L: it thins the same swimmers afterwards, so that a course shares
its random numbers with no treatment.
"""

from __future__ import annotations

from math import exp

from tankside.claims import setting
from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.layout import Real, Whole, World
from tankside.lifecycle.kernel.positions import Column, GroupSum

SEARCH = int(Column.SEARCH)
ESTABLISH = int(Column.ESTABLISH)
DEATH = int(Column.SWIMMER_DEATH)
FADING = int(Column.SWIMMER_FADING)
AREA = int(GroupSum.AREA)
SUSCEPTIBLE_AREA = int(GroupSum.SUSCEPTIBLE_AREA)
NEGLIGIBLE = setting(1e-9, "a hazard below this is treated as a rounding of zero")
SERIES = setting(1e-5, "below this (1 - exp(-x)) / x is 1 - x / 2 to ten digits")


@compiled
def leaving_part(hazard: Real) -> Real:
    """Return the chance to leave within the hour for one released evenly within it."""
    if hazard < SERIES:
        return hazard / 2
    return 1 - (1 - exp(-hazard)) / hazard


@compiled
def fill_finding(w: World, body: Whole, since: Whole) -> None:
    """Fill, from hour ``since`` on, the hazards of swimmers of one body for the fish alive now."""
    leave = w.leave[body]
    share = w.share[body]
    clock = w.leave_clock[body]
    search = w.values[SEARCH] / w.volume[body]
    area, welcome = _fish_here(w, body, since)
    w.dealt_area[body] = area
    before, settles = -1.0, 0.0
    low, top = 1.0, 0.0
    for hour in range(since, leave.size):
        if w.moved[hour]:
            area, welcome = _fish_here(w, body, hour)
            before = -1.0
        hazard = w.values[DEATH] * w.swim_factor[body, hour] + w.values[FADING] + search * area
        hazard = max(hazard, NEGLIGIBLE)
        if hazard != before:
            before = hazard
            settles = min(search * w.values[ESTABLISH] * welcome / hazard, 1.0)
            low, top = min(low, settles), max(top, settles)
        leave[hour] = hazard
        share[hour] = settles
        clock[hour + 1] = clock[hour] + hazard
    w.share_top[body] = top
    if low == top:
        w.find[body, since:] = top
        w.find_new[body, since:] = top
    else:
        _fill_chance_to_settle(w, body, since)


@compiled
def _fish_here(w: World, body: Whole, hour: Whole) -> tuple[Real, Real]:
    """Return the area of the fish in a body, and that weighted by how welcoming they are."""
    area = 0.0
    welcome = 0.0
    for group in range(w.where.shape[0]):
        if w.where[group, hour] == body:
            area += w.group_sums[group, AREA]
            welcome += w.group_sums[group, SUSCEPTIBLE_AREA]
    return area, welcome


@compiled
def _fill_chance_to_settle(w: World, body: Whole, since: Whole) -> None:
    """Backward recursion: settle within the hour, or stay and settle later."""
    find = w.find[body]
    find_new = w.find_new[body]
    hours = find_new.size
    find[hours] = w.share[body, hours - 1]
    before = -1.0
    searching = 0.0
    leaving = 0.0
    for back in range(hours - since):
        hour = hours - 1 - back
        hazard = w.leave[body, hour]
        if hazard != before:
            searching = exp(-hazard)
            leaving = hazard / 2 if hazard < SERIES else 1 - (1 - searching) / hazard
            before = hazard
        later = find[hour + 1]
        find[hour] = (1 - searching) * w.share[body, hour] + searching * later
        find_new[hour] = leaving * w.share[body, hour] + (1 - leaving) * later
