"""Which sets of causes explain what was seen: exact inference over the hypotheses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims.cited import setting
from tankside.claims.diagnosis import OUTSIDE, LikelihoodLaw
from tankside.diagnose.combine import Floats
from tankside.diagnose.evidence import Evidence, informative
from tankside.diagnose.repeats import warmth_of
from tankside.diagnose.tables import NONE, Answers, Space, Tables

"""All groups of causes that are not listed, together."""
LEFT_OUT = setting(0.001, "belief that the sets left out of redraws may hold together")
ON_THE_ODDS = (LikelihoodLaw.CONTEXT, LikelihoodLaw.ODDS)


@dataclass(frozen=True, slots=True)
class Ranking:
    """The answer to "what fits".

    Args:
        tables: what is known.
        evidence: what was seen.
        space: the hypotheses ranked (with triples where they were needed).
        masks: informative findings, each with its mask of answers.
        steps: what each finding adds to the log-weight of each hypothesis. All descriptors
            of spots stand together under the gate's name followed by ``*``.
        log_weight: logarithm of the unnormalised weight of each hypothesis.
        chance: posterior of each hypothesis.
        by_cause: chance that each cause is present, alone or with another; by row.
        triples: whether sets of three had to be looked at.
    """

    tables: Tables
    evidence: Evidence
    space: Space
    masks: Mapping[str, tuple[bool, ...]]
    steps: Mapping[str, Floats]
    log_weight: Floats
    chance: Floats
    by_cause: Floats
    triples: bool = False

    @property
    def nothing_wrong(self) -> float:
        """Chance that no cause is present."""
        return float(self.chance[0])

    def of(self, condition: str) -> float:
        """Return the chance that a cause is present.

        ``NONE``: that nothing is wrong; ``NOT_IN_LIST``: that it is of any group not listed.
        """
        if condition == NONE:
            return self.nothing_wrong
        if condition == OUTSIDE:
            return float(sum(self.by_cause[self.tables.row(group)] for group in self.groups()))
        return float(self.by_cause[self.tables.row(condition)])

    def leading(self, condition: str) -> float:
        """Return the chance that a cause is the leading one; these sum to 1 over all rows."""
        if condition in (NONE, OUTSIDE):
            return self.of(condition)
        return float(self.chance @ self.space.leads[:, self.tables.row(condition)])

    def groups(self) -> tuple[str, ...]:
        """Return the groups of causes that are not listed."""
        return tuple(c.id for c in self.tables.facts.conditions.values() if c.outside)

    def names(self) -> tuple[str, ...]:
        """Return every row of the ranking, groups not listed as one."""
        inside = (c.id for c in self.tables.facts.conditions.values() if not c.outside)
        return (*inside, NONE, *((OUTSIDE,) if self.groups() else ()))

    def presence(self) -> Floats:
        """Return 1 where a row of the ranking is in a hypothesis, shape (hypotheses, rows)."""
        place = {name: column for column, name in enumerate(self.names())}
        sums = np.zeros((len(self.tables.ids), len(place)))
        for row, (name, cause) in enumerate(self.tables.facts.conditions.items()):
            sums[row, place[OUTSIDE if cause.outside else name]] = 1
        inside = self.space.membership @ sums
        inside[0, place[NONE]] = 1
        return np.asarray(inside)

    def order(self) -> tuple[str, ...]:
        """Return every cause, state, ``NONE`` and ``NOT_IN_LIST``, likeliest first.

        Ties stand by identifier; the groups of causes not listed stand together.
        """
        names = self.names()
        return tuple(sorted(names, key=lambda name: (-self.of(name), name)))

    def sets(self, most: int) -> tuple[tuple[tuple[str, ...], float], ...]:
        """Return the likeliest sets of causes with their chances, likeliest first."""
        best = np.argsort(-self.chance, kind="stable")[:most]
        return tuple((self.members(int(h)), float(self.chance[h])) for h in best)

    def members(self, hypothesis: int) -> tuple[str, ...]:
        """Return the causes in a hypothesis, in row order."""
        rows = self.space.members[hypothesis]
        return tuple(self.tables.ids[row] for row in rows if row < len(self.tables.ids))


def narrowed(ranking: Ranking, most_sets: int) -> Ranking:
    """Return the same ranking over its likeliest sets: every single row, then the best of the rest.

    What hangs on thousands of redraws or answers is worked out over these; the sets left out
    together hold next to nothing of the belief.

    Args:
        ranking: the whole ranking.
        most_sets: how many sets of several causes to keep at most; fewer where those left out
            together hold less than a thousandth.
    """
    space = ranking.space
    single = len(ranking.tables.ids) + 1
    order = np.argsort(-ranking.chance[single:], kind="stable")
    left_over = ranking.chance[single:].sum() - np.cumsum(ranking.chance[single:][order])
    several = order[: min(int((left_over > LEFT_OUT).sum()) + 1, most_sets)] + single
    rows = np.concatenate([np.arange(single), np.sort(several)])
    kept = Space(
        space.members[rows],
        space.membership[rows],
        space.leads[rows],
        space.log_prior[rows],
        Answers(ranking.tables.cells, space.members[rows]),
        space.responsible[rows],
    )
    log_weight = ranking.log_weight[rows]
    chance = normalised(log_weight)
    return Ranking(
        ranking.tables,
        ranking.evidence,
        kept,
        ranking.masks,
        {name: step[rows] for name, step in ranking.steps.items()},
        log_weight,
        chance,
        chance @ kept.membership,
        ranking.triples,
    )


def rank_in(tables: Tables, evidence: Evidence, space: Space, *, triples: bool = False) -> Ranking:
    """Rank the hypotheses of a space.

    weight(S) = prior chance of S * product over findings of P(answers | S) ** weight,
    where P of a set of answers is the sum over the set; context findings multiply the odds of
    each cause by P(answers | cause) / P(answers | leak) instead.

    Args:
        tables: what is known.
        evidence: what was seen.
        space: the sets of causes considered.
        triples: whether the space holds triples.

    Raises:
        BadInput: a finding or answer is not known.
    """
    masks = informative(tables.facts, evidence)
    steps = {}
    for name, mask in masks.items():
        law = tables.facts.findings[name].law
        if law is not LikelihoodLaw.GATED:
            steps[name] = step(tables, evidence, space, name, mask)
    spots = spot_profile(tables, evidence, masks)
    if spots is not None:
        steps[f"{tables.gate}*"] = spot_step(space, spots)
    log_weight = space.log_prior + sum(steps.values())
    chance = normalised(log_weight)
    return Ranking(
        tables,
        evidence,
        space,
        masks,
        steps,
        log_weight,
        chance,
        chance @ space.membership,
        triples,
    )


def normalised(log_weight: Floats) -> Floats:
    """Return weights summing to one along the last axis, safe against under- and overflow."""
    weight = np.exp(log_weight - log_weight.max(axis=-1, keepdims=True))
    return np.asarray(weight / weight.sum(axis=-1, keepdims=True))


def step(
    tables: Tables, evidence: Evidence, space: Space, name: str, mask: tuple[bool, ...]
) -> Floats:
    """Return what one finding adds to the log-weight of each hypothesis."""
    weight = tables.exponent[name] * evidence.weights.get(name, 1.0)
    if tables.facts.findings[name].law not in ON_THE_ODDS:
        return weight * space.answer_chance.log_of(name, mask)
    if name in evidence.unconfirmed:
        weight *= tables.facts.number("unconfirmed_power")
    ratio = log_ratio(tables, evidence, name, tables.cells[name].chance, np.array(mask))
    return np.asarray(weight * ratio[space.members].sum(axis=1))


def log_ratio(
    tables: Tables, evidence: Evidence, name: str, cells: Floats, mask: NDArray[np.bool_]
) -> Floats:
    """Return by row what a finding of context adds to the logarithm of the odds.

    The chance of the answer under the cause over that under the leak. Temperature is read within
    the kind of fish: both are first scaled to how often fish of this kind stand at each
    temperature, so that the kind is not counted twice.

    Args:
        tables: what is known.
        evidence: what was seen (the kind of fish among it).
        name: the finding.
        cells: its table, shape (..., rows, answers).
        mask: which answers remain possible.
    """
    if tables.facts.findings[name].law is LikelihoodLaw.ODDS:
        return np.asarray(np.log(cells[..., mask].mean(axis=-1)))
    by_kind = tables.facts.warmth.get(name)
    kind = warmth_of(tables.facts, evidence.answers) if by_kind else ""
    if by_kind and kind:
        usual = np.array([by_kind[kind][a] for a in tables.facts.findings[name].answers])
        scaled = usual * cells / cells[..., -1:, :]
        cells = scaled / scaled.sum(axis=-1, keepdims=True)
    chance = cells[..., mask].sum(axis=-1)
    return np.asarray(np.log(chance / chance[..., -1:]))


def spot_profile(
    tables: Tables, evidence: Evidence, masks: Mapping[str, tuple[bool, ...]]
) -> Floats | None:
    """Return the log-chance, by row, of all descriptors of spots together; None without any."""
    profile = None
    for name, mask in masks.items():
        if tables.facts.findings[name].law is LikelihoodLaw.GATED:
            weight = tables.exponent[name] * evidence.weights.get(name, 1.0)
            chance = tables.cells[name].chance[:, np.array(mask)].sum(axis=1)
            added = weight * np.log(chance)
            profile = added if profile is None else profile + added
    return profile


def spot_step(space: Space, profile: Floats) -> Floats:
    """Return what the descriptors of spots add together to each hypothesis.

    One responsible cause explains all of them:
    P(descriptors | S, spots) = sum over causes of responsibility * product of its cells.

    Args:
        space: the hypotheses.
        profile: log-chance of all descriptors, by row.
    """
    shared = (space.responsible * np.exp(profile)[space.members]).sum(axis=1)
    return np.asarray(np.log(shared))
