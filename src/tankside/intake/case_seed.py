"""The seed of a case."""

from __future__ import annotations

import hashlib

from tankside.case import CaseView, to_object

_SEED_BYTES = 6


def seed_of(view: CaseView) -> int:
    """Return the seed of a case: the same for every question asked of it, other for another."""
    opening = repr(sorted(to_object(view.opened).items())).encode("utf-8")
    return int.from_bytes(hashlib.sha256(opening).digest()[:_SEED_BYTES], "big")
