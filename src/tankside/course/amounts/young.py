"""Whether animals are young: as told, else as long as their kind grows."""

from __future__ import annotations

from collections.abc import Sequence

from tankside.claims import Knowledge, setting
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.stock import Living, StockGroup, living_of
from tankside.course.bodies.words import show

YOUNG = ("embryo", "larva", "fry")
GROWN_SHARE_KEY = "practice.course.grown_length_share"
GROWN_KEY = "practice.course.grown_length"
_SLACK = setting(1e-6, "a length as it is asked for passes whatever its last digit")
LIFTED_BY_STAGE = "life-stage=juvenile or life-stage=adult"


def is_young(facts: Knowledge, group: StockGroup) -> bool | None:
    """Return whether a group is larvae or fry; None while nothing tells it.

    A told life stage counts first. Without one, fish as long as the stated share of the adult
    length of their species, or as the length that no fry has, are grown; what is not a fish is
    not asked.
    """
    if group.life_stage is not None:
        return group.life_stage in YOUNG
    if living_of(facts, group) is not Living.FISH:
        return False
    from_cm = grown_from_cm(facts, group)
    long_cm = group.length_cm
    grown = from_cm is not None and long_cm is not None and long_cm >= from_cm * (1 - _SLACK)
    return False if grown else None


def grown_from_cm(facts: Knowledge, group: StockGroup) -> float | None:
    """Return the length [cm] from which a group is surely past the fry; None when not known."""
    share = find_number(facts, GROWN_SHARE_KEY)
    adult_cm = find_number(facts, f"host.{group.host_id}.adult_length")
    of_kind = None if share is None or adult_cm is None else share * adult_cm
    lengths = [cm for cm in (of_kind, find_number(facts, GROWN_KEY)) if cm is not None]
    return min(lengths, default=None)


def any_young(facts: Knowledge, groups: Sequence[StockGroup]) -> bool | None:
    """Return whether any group is young; None while that of one is not known and none is."""
    ages = [is_young(facts, group) for group in groups]
    return True if True in ages else None if None in ages else False


def what_tells_age(facts: Knowledge, groups: Sequence[StockGroup]) -> str:
    """Say what would show that the groups whose age nobody knows are no fry."""
    unknown = [group for group in groups if is_young(facts, group) is None]
    lengths = [
        f"{group.name} {show(from_cm, 'cm')}"
        for group in unknown
        if (from_cm := grown_from_cm(facts, group)) is not None
    ]
    names = ", ".join(group.name for group in unknown) or "all fish"
    longer = f", or a length of at least {', '.join(lengths)}" if lengths else ""
    unnamed = [
        group.name
        for group in unknown
        if group.length_cm is not None and group.host_id not in facts.hosts
    ]
    kinds = f". Name the species of {', '.join(unnamed)}: one grown at that length lifts it, too"
    return (
        f"{LIFTED_BY_STAGE} of {names}{longer}, once told, lifts this stop"
        f"{kinds if unnamed else ''}"
    )
