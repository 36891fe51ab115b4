"""Whether a caution points only to what the course holds: its waters, animals, hours, agents."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.course.amounts.active_forms import same_active
from tankside.course.bodies.caution import Caution
from tankside.course.safety.scene import CourseScene


class PointsNowhere(RuntimeError):
    """A fault of the program: a caution names something that is not part of the course."""


def check_pointed(cautions: Iterable[Caution], scene: CourseScene) -> None:
    """Hold every caution to pointing at something that is there.

    Args:
        cautions: the cautions of a course.
        scene: the course as it was run.

    Raises:
        PointsNowhere: a water, a group or an hour that is not there, or a claim of another agent.
    """
    groups = {group.id for group in (*scene.stock, *scene.plants)}
    hours = max((hourly.size for hourly in scene.where.values()), default=None)
    for caution in cautions:
        for what, wrong in (
            ("body", caution.body and caution.body not in scene.bodies),
            ("group", caution.group and caution.group not in groups),
            ("hour", _outside(caution.hour, hours)),
            ("claim", _of_another_agent(caution, scene)),
        ):
            if wrong:
                raise PointsNowhere(f"{caution.code} points to a {what} that is not there")


def _outside(hour: int | None, hours: int | None) -> bool:
    return hour is not None and (hour < 0 or (hours is not None and hour > hours))


def _of_another_agent(caution: Caution, scene: CourseScene) -> bool:
    """Whether the claim is of an agent that shares no active with the one pointed to."""
    if not caution.agent or not caution.claim_key.startswith("agent."):
        return False
    others = same_active(scene.facts, caution.agent)
    agents = (caution.agent, *(other.agent.id for other in others))
    return not any(f".{agent}" in caution.claim_key for agent in agents)
