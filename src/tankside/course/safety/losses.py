"""How many of each group have died: an average over all animals hides the group that is dying."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.stock import StockGroup
from tankside.course.safety.scene import CourseScene

CARE_KEY = "practice.course.losses_care"


def share_died(groups: tuple[StockGroup, ...]) -> float:
    """Return the share of these animals that has died, of those alive and dead together."""
    died = sum(group.died for group in groups)
    at_first = died + sum(group.count for group in groups)
    return died / at_first if at_first else 0.0


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield S-LOSSES for every group that has lost more than a usual share."""
    care = find_number(scene.facts, CARE_KEY)
    for group in scene.stock:
        share = share_died((group,))
        if care is None or not share > care:
            continue
        yield Caution(
            Level.CARE,
            "S-LOSSES",
            f"{share:.1%} of {group.name} died ({group.died} of {group.count + group.died}).",
            f"Over all animals it is {share_died(scene.stock):.1%}; care above {care:.0%} of a "
            "group.",
            CARE_KEY,
            "Judge each group against its own number; dead animals out, this group examined first.",
            body=group.body,
            group=group.id,
        )
