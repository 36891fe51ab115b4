"""What the counts made so far let one believe is on the fish when histories begin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.lifecycle import HostGroup, InitialState
from tankside.lifecycle.inputs.types import Range

UNSEEN = "practice.forecast.unseen_burden"
SPREAD = "practice.forecast.burden_spread"
CARRIERS = "practice.forecast.carriers"
WAVE_AGE = "practice.forecast.wave_age"
ON_A_SLIDE = "seen.scrape_share"
BY_EYE = ("trophont.visible_from", "seen.body_share", "seen.eye_detection")


@dataclass(frozen=True, slots=True)
class GroupCount:
    """What one count says of one group of fish.

    Args:
        group: whose fish were looked at.
        number: parasites or spots of one fish, as counted; where only infected fish were told
            apart, how many they were.
        by_eye: counted on the whole fish, by eye or on a photo; else on a slide.
    """

    group: str
    number: float
    by_eye: bool


def start_state(
    counts: Sequence[GroupCount],
    groups: tuple[HostGroup, ...],
    organism: Organism,
    facts: Knowledge,
    age: float | None = None,
) -> InitialState:
    """Return what is believed to be on the fish.

    A count by eye stands for more than was seen: divided by the share of the stay in which a
    parasite can be seen, the share on skin and fins, and the share a person counts. A group that
    nobody counted carries from next to nothing up to what the most affected group is believed
    to carry.

    Args:
        counts: made before the start, in order of time.
        groups: the fish a parasite meets.
        organism: the parasite, with what of it can be seen.
        facts: what is known of burdens nobody counted.
        age: share of the stay on the fish that is over, when all came in one wave; None for an
            old outbreak with all ages.
    """
    spread = facts.number(SPREAD)
    per_fish: dict[str, Range] = {}
    for group in groups:
        burden = _burden(counts, group.id, organism, one_wave=age is not None)
        if burden is not None:
            per_fish[group.id] = (max(1.0, burden / spread), max(1.0, burden), burden * spread)
    low, high = facts.claim(UNSEEN).bounds()
    most = max((middle for _, middle, _ in per_fish.values()), default=high)
    uncounted = (low, facts.number(UNSEEN), max(most, facts.number(UNSEEN)))
    carrying = facts.claim(CARRIERS)
    share = (carrying.bounds()[0], carrying.number(), carrying.bounds()[1])
    return InitialState(
        per_fish={group.id: per_fish.get(group.id, uncounted) for group in groups},
        carriers={group.id: share for group in groups},
        age=age,
        steady_bottom=age is None,
    )


def initial_states(
    counts: Sequence[GroupCount],
    groups: tuple[HostGroup, ...],
    organism: Organism,
    facts: Knowledge,
) -> tuple[InitialState, ...]:
    """Return the kinds of beginnings that a follow-up tries.

    An old outbreak with all ages, and single waves at several ages (as shares of the stay over).

    Args:
        counts: made before the start, in order of time.
        groups: the fish a parasite meets.
        organism: the parasite.
        facts: what is known of burdens nobody counted and of the ages of a wave.
    """
    low, high = facts.claim(WAVE_AGE).bounds()
    ages = (None, low, facts.number(WAVE_AGE), high)
    return tuple(start_state(counts, groups, organism, facts, age) for age in ages)


def most_affected(
    counts: Sequence[GroupCount], groups: tuple[HostGroup, ...], start: InitialState
) -> tuple[str, ...]:
    """Return the groups, the one believed to carry most first; counted ones before the others.

    Args:
        counts: all counts of the case.
        groups: the fish a parasite meets.
        start: what is believed to be on them.
    """
    counted = {count.group for count in counts if count.number > 0}
    ids = [group.id for group in groups]
    return tuple(sorted(ids, key=lambda g: (g not in counted, -start.per_fish[g][1])))


def _burden(
    counts: Sequence[GroupCount], group: str, organism: Organism, *, one_wave: bool
) -> float | None:
    """Return the latest positive count of a group that says a burden, as parasites on a fish."""
    for count in reversed(counts):
        if count.group != group or not count.number > 0:
            continue
        if count.by_eye:
            return count.number / share_seen(organism, one_wave=one_wave)
        if organism.known(ON_A_SLIDE):
            return count.number / organism.claims[ON_A_SLIDE].number()
    return None


def share_seen(organism: Organism, *, one_wave: bool) -> float:
    """Return the share of the parasites on a fish that is counted by eye, 1 where no print says.

    Args:
        organism: the parasite.
        one_wave: all can be seen at once; where ages are spread, only those late in their stay.
    """
    if not all(organism.known(key) for key in BY_EYE):
        return 1.0
    visible_from, body, eye = (organism.claims[key].number() for key in BY_EYE)
    return body * eye * (1 if one_wave else 1 - visible_from)
