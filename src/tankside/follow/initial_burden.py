"""What the counts made so far let one believe is on the fish when histories begin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log1p

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
        day: day of the case.
        of_fish: fish among which infected ones were told apart; 0 where a number was counted.
    """

    group: str
    number: float
    by_eye: bool
    day: int = 0
    of_fish: int = 0

    @property
    def on_one_fish(self) -> float:
        """Parasites or spots on one fish; where carrying fish were counted, what explains them.

        The mean m at which a share 1 - exp(-m) of fish shows any (Poisson), k of n fish taken
        as k of n + 1, so that all of all has an answer too.
        """
        return -log1p(-self.number / (self.of_fish + 1)) if self.of_fish else self.number


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
    to carry. As many of a group carry any as usual, and no fewer than were seen to.

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
    carriers = {group.id: _carriers(counts, group.id, share) for group in groups}
    return InitialState(
        per_fish={group.id: per_fish.get(group.id, uncounted) for group in groups},
        carriers=carriers,
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
    """Return what a group is believed to carry, as parasites on a fish; None where none was seen.

    The largest of the last day on which a number was seen; where none was ever counted, that
    of the last day on which fish carried any.
    """
    of_group = [count for count in counts if count.group == group and count.number > 0]
    for told_apart in (False, True):
        burdens = {
            (count.day, burden)
            for count in of_group
            if bool(count.of_fish) is told_apart
            and (burden := _on_fish(count, organism, one_wave=one_wave)) is not None
        }
        if burdens:
            return max(burdens)[1]
    return None


def _carriers(counts: Sequence[GroupCount], group: str, share: Range) -> Range:
    """Return the share of a group that carries any: at least what was seen to, k of n + 1."""
    seen = [
        count.number / (count.of_fish + 1)
        for count in counts
        if count.group == group and count.of_fish
    ]
    low, middle, high = share
    least = max([low, *seen])
    return (least, max(middle, least), max(high, least))


def _on_fish(count: GroupCount, organism: Organism, *, one_wave: bool) -> float | None:
    """Return the parasites on a fish behind one count; None where no print says the share seen."""
    if count.by_eye:
        return count.on_one_fish / share_seen(organism, one_wave=one_wave)
    if organism.known(ON_A_SLIDE):
        return count.on_one_fish / organism.claims[ON_A_SLIDE].number()
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
