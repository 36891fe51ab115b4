"""The seed of a case."""

from __future__ import annotations

import hashlib

from tankside.case import CaseView, to_object

_SEED_BYTES = 6


def seed_of(view: CaseView) -> int:
    """Return the seed of a case: the same for every question asked of it, other for another."""
    opening = repr(sorted(to_object(view.opened).items())).encode("utf-8")
    return int.from_bytes(hashlib.sha256(opening).digest()[:_SEED_BYTES], "big")


def chance_of(view: CaseView) -> int:
    """Return the seed under which a case is played: that of the course it follows, else its own.

    A follow-up and a forecast so meet the same luck as the comparison the course was chosen from.
    """
    kept = None if view.course is None else view.course.seed
    return seed_of(view) if kept is None else kept
