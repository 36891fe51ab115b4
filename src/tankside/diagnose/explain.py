"""For one cause: what speaks for it, what against, what is not known, what would change it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tankside.claims.cited import whole_setting
from tankside.claims.diagnosis import LikelihoodLaw
from tankside.diagnose.combine import Floats
from tankside.diagnose.open_findings import Open, open_findings
from tankside.diagnose.ranking import Ranking, narrowed, normalised, spot_profile, spot_step

SETS = whole_setting(120, "sets of several causes weighed; the others hold next to nothing")


@dataclass(frozen=True, slots=True)
class Speaks:
    """A finding and the weight of its evidence.

    Args:
        finding: identifier.
        answers: what was answered (or, for what would change the order, would have to be).
        weight: change of the logarithm of the odds of the cause, positive when it supports.
    """

    finding: str
    answers: tuple[str, ...]
    weight: float


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why a cause stands where it stands; each list has its weightiest entry first."""

    condition: str
    supports: tuple[Speaks, ...]
    against: tuple[Speaks, ...]
    unknown: tuple[Speaks, ...]
    would_change: tuple[Speaks, ...]


def explain(ranking: Ranking, conditions: tuple[str, ...]) -> tuple[Explanation, ...]:
    """Explain where causes stand.

    The weight of a finding is how much the logarithm of the odds of the cause changes when the
    finding is taken in last, given everything else (Good's weight of evidence). ``unknown``
    holds the answers not yet given that would move the cause most; ``would_change`` those that
    would turn it from at least even to less, or from less to at least even.

    Args:
        ranking: the ranking to explain.
        conditions: causes to explain (``NONE`` allowed), in the order wanted.
    """
    names = ranking.names()
    least = float(np.log(ranking.tables.facts.number("speaks_factor")))
    presence = ranking.presence()
    standing = _odds(presence, ranking.log_weight)
    weights = {name: standing - without for name, without in _left_out(ranking, presence)}
    held = narrowed(ranking, SETS)
    there = held.presence()
    now = _odds(there, held.log_weight)
    opened = open_findings(held)
    ahead = [(o, answer) for o in opened for answer in range(o.log_step.shape[1])]
    odds = [_odds(there, held.log_weight + o.log_step.T) - now for o in opened]
    changes = np.vstack(odds) if odds else np.empty((0, len(now)))
    return tuple(
        _one(
            name,
            [
                Speaks(finding, _answered(ranking, finding), float(weight[column]))
                for finding, weight in weights.items()
            ],
            list(zip(ahead, changes[:, column].tolist(), strict=True)),
            float(now[column]),
            least,
        )
        for name, column in ((name, names.index(name)) for name in conditions)
    )


def _one(
    name: str,
    steps: list[Speaks],
    ahead: list[tuple[tuple[Open, int], float]],
    now: float,
    least: float,
) -> Explanation:
    steps.sort(key=lambda s: (-abs(s.weight), s.finding))
    moves = [
        Speaks(o.finding, (o.answers[answer],), change)
        for (o, answer), change in ahead
        if abs(change) >= least or (now + change >= 0) != (now >= 0)
    ]
    moves.sort(key=lambda s: (-abs(s.weight), s.finding, s.answers))
    widest: dict[str, Speaks] = {}
    for move in moves:
        if abs(move.weight) >= least:
            widest.setdefault(move.finding, move)
    return Explanation(
        condition=name,
        supports=tuple(s for s in steps if s.weight >= least),
        against=tuple(s for s in steps if s.weight <= -least),
        unknown=tuple(widest.values()),
        would_change=tuple(move for move in moves if (now + move.weight >= 0) != (now >= 0)),
    )


def _answered(ranking: Ranking, finding: str) -> tuple[str, ...]:
    answers = ranking.tables.facts.findings[finding].answers
    return tuple(a for a, kept in zip(answers, ranking.masks[finding], strict=True) if kept)


def _odds(presence: Floats, log_weight: Floats) -> Floats:
    """Return the logarithm of the odds of each row of the ranking."""
    chance = normalised(log_weight)
    present = chance @ presence
    absent = chance @ (1 - presence)
    tiny = np.finfo(float).tiny
    return np.asarray(np.log(np.maximum(present, tiny)) - np.log(np.maximum(absent, tiny)))


def _left_out(ranking: Ranking, presence: Floats) -> list[tuple[str, Floats]]:
    """Return the odds of each cause as they would be without each informative finding."""
    tables = ranking.tables
    rows = []
    for name in ranking.masks:
        if tables.facts.findings[name].law is not LikelihoodLaw.GATED:
            rows.append((name, _odds(presence, ranking.log_weight - ranking.steps[name])))
            continue
        rest = {other: mask for other, mask in ranking.masks.items() if other != name}
        profile = spot_profile(tables, ranking.evidence, rest)
        star = f"{tables.gate}*"
        other = ranking.log_weight - ranking.steps[star]
        if profile is not None:
            other = other + spot_step(ranking.space, profile)
        rows.append((name, _odds(presence, other)))
    return rows
