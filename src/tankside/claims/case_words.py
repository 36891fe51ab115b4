"""How the words of a case answer the context findings of the differential."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CaseWords:
    """Words of a case and the answers they give.

    Args:
        host_groups: ``finding=answer`` by group of host.
        host_others: ``finding=answer`` by type of water, for every other group of fish.
        events: (answer, words): an event whose topic or text holds one of the words.
        new_days: fish added within this many days are new.
        old_days: fish added longer ago than this no longer count as added.
    """

    host_groups: Mapping[str, str]
    host_others: Mapping[str, str]
    events: tuple[tuple[str, tuple[str, ...]], ...]
    new_days: float
    old_days: float
