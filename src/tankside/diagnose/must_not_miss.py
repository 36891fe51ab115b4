"""Causes that must stay in view: the dangerous ones, and the early list from the call."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.diagnose.ranking import Ranking


@dataclass(frozen=True, slots=True)
class MustNotMiss:
    """A dangerous cause with the step it demands before certainty."""

    condition: str
    chance: float
    step: str


def must_not_miss(ranking: Ranking) -> tuple[MustNotMiss, ...]:
    """Return the dangerous causes that would do most harm if left, at most two.

    Ordered by chance times harm of leaving it a day, whatever their rank.

    Args:
        ranking: the ranking as it stands.
    """
    facts = ranking.tables.facts
    flagged = [
        (ranking.of(c.id) * c.harm_missed.point, c)
        for c in facts.conditions.values()
        if c.cannot_miss and ranking.of(c.id) >= facts.number("strip_least_chance")
    ]
    flagged.sort(key=lambda pair: (-pair[0], pair[1].id))
    most = int(facts.number("strip_most"))
    return tuple(MustNotMiss(c.id, ranking.of(c.id), c.step) for _, c in flagged[:most])


def keep_in_mind(ranking: Ranking) -> tuple[str, ...]:
    """Return the early list: causes to have in mind after the call, in no order of likelihood.

    The likeliest causes together with the strip, by name.

    Args:
        ranking: a ranking from what the call told.
    """
    facts = ranking.tables.facts
    listed = [name for name in ranking.order() if name in facts.conditions]
    kept = [name for name in listed if not facts.conditions[name].outside]
    chosen = set(kept[: int(facts.number("keep_in_mind_most"))])
    chosen |= {item.condition for item in must_not_miss(ranking)}
    return tuple(sorted(chosen, key=lambda name: facts.conditions[name].name))
