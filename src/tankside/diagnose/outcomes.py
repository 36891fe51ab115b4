"""What a sitting may bring: its joint answers, sampled from the present belief.

Answers of one sitting come together, so they are weighed together. Sets of causes are drawn from
the present chances, answers from each set; every drawn sheet of answers gives a new belief. The
worth of the sitting is the mean harm that acting by the new belief saves over acting as now
(expected value of sample information); it can never be negative.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims.cited import whole_setting
from tankside.diagnose.combine import Floats
from tankside.diagnose.open_findings import Open
from tankside.diagnose.ranking import Ranking, normalised

SHEETS = whole_setting(
    240, "sheets of answers drawn of a sitting; its worth is known to about a tenth"
)
SEED = whole_setting(1, "the same belief gives the same advice")


@dataclass(frozen=True, slots=True)
class Believed:
    """The sets of causes that hold nearly all of the belief.

    Args:
        log_weight: their log-weights.
        chance: their chances, summing to 1.
        membership: causes in each, shape (sets, causes).
        presence: rows of the ranking in each, shape (sets, names).
        missed: harm of leaving each cause a day.
        in_vain: harm of acting on each in vain.
        acts: causes that are acted on as things stand.
    """

    log_weight: Floats
    chance: Floats
    membership: Floats
    presence: Floats
    missed: Floats
    in_vain: Floats
    acts: NDArray[np.bool_]

    def harm(self, by_cause: Floats, acts: NDArray[np.bool_]) -> Floats:
        """Return the expected harm of acting on some causes, along the last axis."""
        each = np.where(acts, (1 - by_cause) * self.in_vain, by_cause * self.missed)
        return np.asarray(each.sum(axis=-1))

    def best(self, by_cause: Floats) -> NDArray[np.bool_]:
        """Return the causes that are best acted on at these chances."""
        return np.asarray(by_cause * self.missed > (1 - by_cause) * self.in_vain)


def believed(ranking: Ranking) -> Believed:
    """Return what is believed and what would be acted on.

    Args:
        ranking: the ranking over the sets that hold nearly all of the belief.
    """
    causes = ranking.tables.facts.conditions.values()
    missed = np.array([c.harm_missed.point for c in causes])
    in_vain = np.array([c.harm_in_vain.point for c in causes])
    acts = np.asarray(ranking.by_cause * missed > (1 - ranking.by_cause) * in_vain)
    return Believed(
        ranking.log_weight, ranking.chance, ranking.space.membership, ranking.presence(), missed,
        in_vain, acts,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sheets:
    """Drawn sheets of answers of one sitting and what each makes of the belief.

    Args:
        columns: finding and answer of each column of ``sheets``.
        sheets: 1 where a sheet gives an answer, shape (sheets, columns).
        chance: belief after each sheet, shape (sheets, sets).
        saved: harm saved by each sheet.
        turned: whether each sheet changes what is acted on.
    """

    columns: tuple[tuple[str, str], ...]
    sheets: Floats
    chance: Floats
    saved: Floats
    turned: NDArray[np.bool_]


def draw(held: Believed, opened: list[Open], gates: Mapping[str, tuple[str, str]]) -> Sheets:
    """Draw the sheets of answers of a sitting.

    Args:
        held: the present belief.
        opened: the open findings of the sitting.
        gates: for findings that hang on another open one of this sitting, that one and the
            answer it must have.
    """
    stream = np.random.default_rng(SEED)
    truth = stream.choice(len(held.chance), size=SHEETS, p=held.chance)
    by_finding: dict[str, Floats] = {}
    columns: list[tuple[str, str]] = []
    steps = []
    for look in sorted(opened, key=lambda o: (o.finding in gates, o.finding)):
        reach = np.cumsum(look.answer_chance, axis=1)[truth]
        drawn = (stream.random(SHEETS)[:, None] > reach[:, :-1]).sum(axis=1)
        sheet = np.eye(len(look.answers))[drawn]
        if look.finding in gates:
            gate, wanted = gates[look.finding]
            place = next(o.answers.index(wanted) for o in opened if o.finding == gate)
            sheet = sheet * by_finding[gate][:, [place]]
        by_finding[look.finding] = sheet
        columns += [(look.finding, answer) for answer in look.answers]
        steps.append(look.log_step.T)
    sheets = np.concatenate(list(by_finding.values()), axis=1)
    after = normalised(held.log_weight + sheets @ np.concatenate(steps))
    by_cause = after @ held.membership
    best = held.best(by_cause)
    saved = held.harm(by_cause, held.acts) - held.harm(by_cause, best)
    turned = np.asarray((best != held.acts).any(axis=1))
    return Sheets(tuple(columns), sheets, after, saved, turned)
