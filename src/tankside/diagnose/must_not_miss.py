"""Causes that must stay in view: the dangerous ones, and the early list from the call."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims.diagnosis import Condition
from tankside.diagnose.ranking import Ranking
from tankside.diagnose.repeats import HOST


@dataclass(frozen=True, slots=True)
class MustNotMiss:
    """A dangerous cause with the step it demands before certainty.

    Args:
        condition: the cause of the alarm that would do most harm.
        chance: its chance.
        step: what it demands now.
        also: other dangerous causes that the same first step meets (a water test meets several).
    """

    condition: str
    chance: float
    step: str
    also: tuple[str, ...] = ()


def must_not_miss(ranking: Ranking) -> tuple[MustNotMiss, ...]:
    """Return the alarms for dangerous causes that would do most harm if left, at most two.

    The order is chance times harm of leaving it a day, whatever the rank; causes met by the same
    first step share an alarm. A dangerous cause that stands in the first rows anyway takes a
    place only when it is likely enough to act on: the strip is for what the ranking would hide.
    A remote cause is pressed on the reader only where acting on it costs less than leaving it,
    and none that spares the kinds of fish told of.

    Args:
        ranking: the ranking as it stands.
    """
    facts = ranking.tables.facts
    alarms: dict[str, list[Condition]] = {}
    for condition in _by_harm(ranking):
        alarms.setdefault(condition.alarm or condition.id, []).append(condition)
    in_order = sorted(alarms.values(), key=lambda alarm: -sum(_harm(ranking, c) for c in alarm))
    return tuple(
        MustNotMiss(
            alarm[0].id, ranking.of(alarm[0].id), alarm[0].step, tuple(c.id for c in alarm[1:])
        )
        for alarm in in_order[: int(facts.number("strip_most"))]
    )


def _by_harm(ranking: Ranking) -> list[Condition]:
    """Return the dangerous causes that may take a place in the strip, most harm first."""
    facts = ranking.tables.facts
    shown = first_rows(ranking)
    likely, remote = facts.number("strip_shown_chance"), facts.number("strip_remote")
    placed = [
        c
        for c in facts.conditions.values()
        if c.cannot_miss
        and not spared(ranking, c)
        and (ranking.of(c.id) > remote or _free(ranking, c))
        and (c.id not in shown or ranking.of(c.id) >= likely)
    ]
    return sorted(placed, key=lambda c: (-_harm(ranking, c), c.id))


def _free(ranking: Ranking, condition: Condition) -> bool:
    """Whether acting on a cause costs less, at its chance, than leaving it would."""
    chance = ranking.of(condition.id)
    return chance * condition.harm_missed.point > (1 - chance) * condition.harm_in_vain.point


def spared(ranking: Ranking, condition: Condition) -> bool:
    """Whether every kind of fish told of is known not to fall ill of a cause."""
    kinds = ranking.tables.facts.kinds
    named = ranking.evidence.answers.get(HOST, frozenset())
    odds = [kinds[kind].odds.get(condition.id) for kind in named]
    return bool(odds) and all(o is not None and o.spared for o in odds)


def _harm(ranking: Ranking, condition: Condition) -> float:
    return ranking.of(condition.id) * condition.harm_missed.point


def first_rows(ranking: Ranking) -> tuple[str, ...]:
    """Return the listed causes in the rows that a reader sees first, likeliest first."""
    facts = ranking.tables.facts
    listed = [c for c in ranking.order() if c in facts.conditions and facts.conditions[c].listed]
    return tuple(listed[: int(facts.number("rows_first"))])


def in_strip(ranking: Ranking) -> frozenset[str]:
    """Return every cause that the strip names."""
    alarms = must_not_miss(ranking)
    return frozenset(name for alarm in alarms for name in (alarm.condition, *alarm.also))


def keep_in_mind(ranking: Ranking) -> tuple[str, ...]:
    """Return the early list: causes to have in mind after the call, in no order of likelihood.

    The likeliest causes together with the strip, by name.

    Args:
        ranking: a ranking from what the call told.
    """
    facts = ranking.tables.facts
    kept = [name for name in ranking.order() if name in facts.conditions]
    kept = [name for name in kept if facts.conditions[name].listed]
    chosen = set(kept[: int(facts.number("keep_in_mind_most"))])
    chosen |= in_strip(ranking)
    return tuple(sorted(chosen, key=lambda name: facts.conditions[name].name))
