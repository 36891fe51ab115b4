"""Safety through time: every check reads the same run, none computes the water again."""

from __future__ import annotations

from dataclasses import replace

from tankside.course.bodies.caution import Caution, Level
from tankside.course.safety import (
    animals,
    changes,
    gases,
    losses,
    not_known,
    overflow,
    people,
    readiness,
    released,
    salt,
    strength,
    together,
)
from tankside.course.safety.pointed import check_pointed
from tankside.course.safety.scene import CourseScene

CHECKS = (
    not_known.check,
    strength.check,
    together.check,
    animals.check,
    salt.check,
    changes.check,
    gases.check,
    readiness.check,
    overflow.check,
    people.check,
    losses.check,
    released.check,
    released.check_added,
)
ORDER = (Level.BLOCKED, Level.CARE, Level.NOTE)


def check_all(scene: CourseScene) -> tuple[Caution, ...]:
    """Return every caution once, the heaviest first.

    Raises:
        PointsNowhere: a check points to something that is not part of the course.
    """
    cautions = list(scene.schedule.cautions)
    for check in CHECKS:
        cautions += check(scene)
    check_pointed(cautions, scene)
    once: dict[tuple[object, ...], Caution] = {}
    for caution in cautions:
        key = (*_same(caution), caution.group)
        if key not in once:
            words = caution.words[:1].upper() + caution.words[1:]
            once[key] = replace(caution, words=words)
    return tuple(sorted(once.values(), key=lambda caution: ORDER.index(caution.level)))


def _same(caution: Caution) -> tuple[object, ...]:
    return caution.level, caution.code, caution.agent, caution.body, caution.words
