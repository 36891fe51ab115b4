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

    The order is chance times harm of leaving it a day, whatever the rank. The last place is
    kept for a cause that the first rows of the ranking would hide, so that the strip shows
    something the ranking does not.

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
    by_harm = [c for _, c in flagged]
    most = int(facts.number("strip_most"))
    chosen = by_harm[: most - 1]
    shown = first_rows(ranking)
    left = [c for c in by_harm if c not in chosen]
    hidden = [c for c in left if c.id not in shown]
    chosen += (hidden or left)[:1]
    return tuple(MustNotMiss(c.id, ranking.of(c.id), c.step) for c in chosen)


def first_rows(ranking: Ranking) -> tuple[str, ...]:
    """Return the listed causes in the rows that a reader sees first, likeliest first."""
    facts = ranking.tables.facts
    listed = [
        c for c in ranking.order() if c in facts.conditions and not facts.conditions[c].outside
    ]
    return tuple(listed[: int(facts.number("rows_first"))])


def keep_in_mind(ranking: Ranking) -> tuple[str, ...]:
    """Return the early list: causes to have in mind after the call, in no order of likelihood.

    The likeliest causes together with the strip, by name.

    Args:
        ranking: a ranking from what the call told.
    """
    facts = ranking.tables.facts
    kept = [name for name in ranking.order() if name in facts.conditions]
    kept = [name for name in kept if not facts.conditions[name].outside]
    chosen = set(kept[: int(facts.number("keep_in_mind_most"))])
    chosen |= {item.condition for item in must_not_miss(ranking)}
    return tuple(sorted(chosen, key=lambda name: facts.conditions[name].name))
