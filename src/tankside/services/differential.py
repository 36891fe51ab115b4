"""What fits: ranks causes, gives each its reasons and band, and names the next look."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tankside.claims.diagnosis import DiagnosisFacts, Role
from tankside.diagnose import (
    NONE,
    Bands,
    Evidence,
    Explanation,
    MustNotMiss,
    NextLooks,
    Ranking,
    Tables,
    bands,
    compile_tables,
    explain,
    in_words,
    keep_in_mind,
    look_next,
    must_not_miss,
    passed_over,
    rank,
    unexplained,
)
from tankside.errors import BadInput
from tankside.library.diagnosis_files import load_diagnosis

REDRAWS = 500
"""Redraws behind a band; more change its edges by less than they are worth."""
NOTHING_WRONG = "Nothing wrong"
OUTSIDE = "NOT_IN_LIST"


@dataclass(frozen=True, slots=True)
class Differential:
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

    def name(self, condition: str) -> str:
        """Return the name to show of a cause."""
        return NOTHING_WRONG if condition == NONE else self.facts.conditions[condition].name

    def words(self, chance: float) -> str:
        """Return a chance in words; with its frequency only when calibrated."""
        return in_words(chance, calibrated=self.facts.calibrated)


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
) -> Differential:
    """Rank what fits.

    Args:
        evidence: what was seen.
        seed: seed of the redraws behind the bands.
        cannot: findings that cannot be looked at here.
        redraws: how many redraws.

    Raises:
        BadInput: a finding or an answer is not known.
    """
    known = tables()
    unknown = sorted(cannot - known.facts.findings.keys())
    if unknown:
        raise BadInput(
            "E-FIND-01",
            "This finding is not in the list.",
            given=unknown[0],
            needed="the identifier of a finding, for example gill_lamellae",
            next_step="See `tankside knowledge show findings`.",
            field="cannot",
        )
    ranking = rank(known, evidence)
    order = ranking.order()
    return Differential(
        facts=known.facts,
        ranking=ranking,
        bands=bands(ranking, np.random.default_rng(seed), redraws),
        reasons={e.condition: e for e in explain(ranking, order)},
        strip=must_not_miss(ranking),
        unexplained=unexplained(ranking),
        looks=look_next(ranking, cannot=cannot),
        early=early_list(known, evidence),
        passed_over=passed_over(known.facts, evidence),
        two_causes=_two_causes(ranking),
    )


def early_list(known: Tables, evidence: Evidence) -> tuple[str, ...]:
    """Return what to keep in mind from the call: history and signs only, in no order.

    Args:
        known: compiled knowledge.
        evidence: all that was seen; tests and microscopy are left out.
    """
    told_on_call = (Role.CONTEXT, Role.SIGN)
    heard = {
        name: given
        for name, given in evidence.answers.items()
        if name in known.facts.findings and known.facts.findings[name].role in told_on_call
    }
    return keep_in_mind(rank(known, Evidence(heard, evidence.unconfirmed)))


def _two_causes(ranking: Ranking) -> float:
    """Return the chance that two or more listed causes are present together."""
    several = ranking.space.membership.sum(axis=1) > 1
    return float(ranking.chance[several].sum())
