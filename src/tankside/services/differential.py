"""What fits: ranks causes, gives each its reasons and band, and names the next look."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from threading import Lock

import numpy as np

from tankside.claims.diagnosis import DiagnosisFacts, Role
from tankside.diagnose import (
    AlsoSeen,
    Bands,
    Evidence,
    Explanation,
    LooksAlike,
    MustNotMiss,
    NextLooks,
    Ranking,
    Tables,
    also_seen,
    bands,
    compile_tables,
    explain,
    keep_in_mind,
    look_next,
    looks_alike,
    must_not_miss,
    passed_over,
    rank,
    unexplained,
)
from tankside.errors import BadInput
from tankside.library.diagnosis_files import load_diagnosis

REDRAWS = 500
"""Redraws behind a band; more change its edges by less than they are worth."""
ON_THE_CALL = (Role.CONTEXT, Role.SIGN)
"""What can be told of a tank before anybody has tested its water or used a microscope."""


@dataclass(frozen=True, slots=True)
class DifferentialAnswer:
    """The whole answer to "what fits".

    Args:
        facts: what the differential knows.
        ranking: chances of every cause and of nothing wrong.
        bands: how far they move when the tables are redrawn inside their ranges.
        reasons: for each cause what speaks for and against it, what is unknown, what would
            change it.
        strip: dangerous causes that must not be missed.
        unexplained: findings the likeliest set of causes leaves unexplained.
        looks: which look is worth its minutes.
        early: the unordered list that the call alone would have given.
        passed_over: answers not used because their question could not arise.
        two_causes: chance that two or more causes are present together.
        also_seen: organisms and signs that are there without being the cause.
        alike: causes that nothing still open would part, and what would.
    """

    facts: DiagnosisFacts
    ranking: Ranking
    bands: Bands
    reasons: Mapping[str, Explanation]
    strip: tuple[MustNotMiss, ...]
    unexplained: tuple[str, ...]
    looks: NextLooks
    early: tuple[str, ...]
    passed_over: tuple[str, ...]
    two_causes: float
    also_seen: tuple[AlsoSeen, ...]
    alike: tuple[LooksAlike, ...]


@lru_cache(maxsize=2)
def tables() -> Tables:
    """Return the compiled knowledge of the shipped library, compiled once."""
    return compile_tables(load_diagnosis())


def differential(
    evidence: Evidence,
    *,
    seed: int,
    cannot: frozenset[str] = frozenset(),
    redraws: int = REDRAWS,
) -> DifferentialAnswer:
    """Rank what fits; the same question is not worked out twice in a row.

    Args:
        evidence: what was seen.
        seed: seed of the redraws behind the bands.
        cannot: findings or sittings that cannot be done here.
        redraws: how many redraws.

    Raises:
        BadInput: a finding or an answer is not known.
    """
    with _TURN:
        return _in_turn(evidence, seed, cannot, redraws)


def _in_turn(
    evidence: Evidence, seed: int, cannot: frozenset[str], redraws: int
) -> DifferentialAnswer:
    answers = frozenset((name, answered) for name, answered in evidence.answers.items())
    weights = frozenset(evidence.weights.items())
    return _ranked_once(answers, evidence.unconfirmed, weights, seed, cannot, redraws)


_TURN = Lock()
"""Many who ask at once wait for each other, so that the first answer serves all that ask the same
and none slows what is asked beside it."""


@lru_cache(maxsize=16)
def _ranked_once(
    answers: frozenset[tuple[str, frozenset[str]]],
    unconfirmed: frozenset[str],
    weights: frozenset[tuple[str, float]],
    seed: int,
    cannot: frozenset[str],
    redraws: int,
) -> DifferentialAnswer:
    evidence = Evidence(dict(sorted(answers, key=lambda said: said[0])), unconfirmed, dict(weights))
    return _ranked(evidence, seed=seed, cannot=cannot, redraws=redraws)


def _ranked(
    evidence: Evidence,
    *,
    seed: int,
    cannot: frozenset[str],
    redraws: int,
) -> DifferentialAnswer:
    knowledge = tables()
    unknown = sorted(cannot - knowledge.facts.findings.keys() - knowledge.facts.sittings.keys())
    if unknown:
        raise BadInput(
            "E-FIND-01",
            "This finding is not in the list.",
            given=unknown[0],
            needed="the identifier of a finding or a sitting, for example gill_lamellae or scrape",
            next_step="See `tankside knowledge show findings`.",
            field="cannot",
        )
    ranking = rank(knowledge, evidence)
    order = ranking.order()
    return DifferentialAnswer(
        facts=knowledge.facts,
        ranking=ranking,
        bands=bands(ranking, np.random.default_rng(seed), redraws),
        reasons={e.condition: e for e in explain(ranking, order)},
        strip=must_not_miss(ranking),
        unexplained=unexplained(ranking),
        looks=look_next(ranking, cannot=cannot),
        early=early_list(knowledge, evidence),
        passed_over=passed_over(knowledge.facts, evidence),
        two_causes=_two_causes(ranking),
        also_seen=also_seen(ranking),
        alike=looks_alike(ranking),
    )


def early_list(knowledge: Tables, evidence: Evidence) -> tuple[str, ...]:
    """Return what to keep in mind from the call: history and signs only, in no order.

    Args:
        knowledge: compiled tables.
        evidence: all that was seen; tests and microscopy are left out.
    """
    findings = knowledge.facts.findings
    heard = {
        name: answers
        for name, answers in evidence.answers.items()
        if name in findings and findings[name].role in ON_THE_CALL
    }
    return keep_in_mind(rank(knowledge, Evidence(heard, evidence.unconfirmed)))


def _two_causes(ranking: Ranking) -> float:
    """Return the chance that two or more listed causes are present together."""
    several = ranking.space.membership.sum(axis=1) > 1
    return float(ranking.chance[several].sum())
