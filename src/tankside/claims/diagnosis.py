"""What the differential knows: findings, conditions, how often each shows which answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from tankside.claims.claim import Claim, Provenance
from tankside.claims.looking import FishKind, Sitting, Twin

OUTSIDE = "NOT_IN_LIST"
"""The row of all that is not listed, whichever group it belongs to."""
_NO_TEXT: Mapping[str, str] = MappingProxyType({})
_NO_KINDS: Mapping[str, FishKind] = MappingProxyType({})
_NO_SITTINGS: Mapping[str, Sitting] = MappingProxyType({})
_NO_WARMTH: Mapping[str, Mapping[str, Mapping[str, float]]] = MappingProxyType({})


NOTHING_AMISS = frozenset(
    {
        "no", "none", "nothing", "negative", "normal", "usual", "clear", "clean", "intact",
        "whole", "even", "level", "straight", "slender", "smooth", "safe", "stable", "adequate",
    }
)  # fmt: skip
"""First words of answers which say that nothing is there or amiss."""


class Role(StrEnum):
    """What kind of observation a finding is."""

    CONTEXT = "context"
    SIGN = "sign"
    WATER_TEST = "water_test"
    MICROSCOPY = "microscopy"
    NECROPSY = "necropsy"
    CLINIC = "clinic"
    LABORATORY = "laboratory"
    RESPONSE = "response"


class LikelihoodLaw(StrEnum):
    """How several causes combine in one finding.

    ``CONTEXT`` changes the prior odds of each cause; ``ODDS`` does so by recorded factors.
    ``NOISY_OR`` and ``NOISY_MAX`` let each cause act on its own over a shared leak.
    ``COURSE`` is an equal mixture of the causes present. ``SHARED`` is a nominal sign: its
    baseline by noisy-OR, the rest shared between the causes. ``GATED`` describes a spot: one
    responsible cause explains all descriptors.
    """

    CONTEXT = "context"
    ODDS = "odds"
    NOISY_OR = "noisy_or"
    NOISY_MAX = "noisy_max"
    COURSE = "course"
    SHARED = "shared"
    GATED = "gated_mixture"


class Standing(StrEnum):
    """What a row of the ranking stands for.

    ``LISTED`` is a cause (or a normal look-alike) with signs of its own. ``OUTSIDE`` stands for a
    group of causes that are not listed. ``STATE`` is no disease: stressed, nothing more.
    """

    LISTED = "listed"
    OUTSIDE = "outside"
    STATE = "state"


@dataclass(frozen=True, slots=True)
class Chance:
    """A probability and the range it may lie in."""

    point: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Cell:
    """How often each answer of one finding is given when one cause alone is present.

    The leak (what healthy fish show) is included. ``answers`` keeps the finding's order.
    """

    finding: str
    answers: Mapping[str, Chance]
    sources: tuple[str, ...]
    provenance: Provenance = Provenance.ESTIMATE
    note: str = ""


@dataclass(frozen=True, slots=True)
class Spoiling:
    """How an old sample misleads: figures in hours since death and minutes on the slide.

    Args:
        invader: True when the organism itself arrives after death, so that a positive weakens.
        fresh_dead_h: full weight up to this long after death.
        spoiled_dead_h: least weight from here on.
        fresh_slide_min: full weight up to this age of the mount.
        spoiled_slide_min: least weight from here on.
        least: the weight that is left.
    """

    invader: bool
    fresh_dead_h: float
    spoiled_dead_h: float
    fresh_slide_min: float
    spoiled_slide_min: float
    least: float


@dataclass(frozen=True, slots=True)
class FineForm:
    """How a fine answer reads in a coarser question: both say one thing, which counts once.

    Args:
        finding: the coarser finding.
        answers: for each fine answer the coarse answers it implies; the others imply none.
        read_out: whether a cause that speaks of the coarser question only is read out of it.
    """

    finding: str
    answers: Mapping[str, tuple[str, ...]]
    read_out: bool = True


@dataclass(frozen=True, slots=True)
class FindingFacts:
    """One question with its possible answers, the first of a graded one being the mildest.

    Args:
        id: identifier used in case files and tables.
        label: short name.
        role: what kind of observation.
        law: how causes combine in it.
        block: findings of one block depend on each other and share a weight.
        gate: ``finding=answer`` without which the question does not arise ("" for none).
        answers: identifiers of the answers, in order.
        baseline_answer: the answer a healthy fish usually gives.
        baseline: how often each answer is given without any listed cause (the leak).
        healthy: how often a healthy fish gives each answer (None: as the leak).
        question: the words put to the practitioner.
        what: what is observed.
        cost_minutes: minutes it takes.
        invasiveness: 0 none, 1 touch, 2 handling, 3 handling with tissue taken or a dead fish.
        equipment: what is needed.
        least_magnification: under less of it (objective times eyepiece) it cannot be seen; 0 where
            nothing is looked at through a microscope.
        pitfalls: how it misleads.
        sources: keys of the works behind the question.
        spoiling: how an old sample misleads, where that is known.
        looked_for: False when it cannot be looked for at will (response to treatment).
        words: plain words for answers whose identifier does not read well.
        sitting: the piece of work that answers it ("" when it stands by itself).
        fine_of: the coarser finding that says the same in fewer words, if any.
    """

    id: str
    label: str
    role: Role
    law: LikelihoodLaw
    block: str
    gate: str
    answers: tuple[str, ...]
    baseline_answer: str
    baseline: Cell
    question: str
    what: str
    cost_minutes: float
    invasiveness: int
    equipment: str
    pitfalls: str
    sources: tuple[str, ...]
    spoiling: Spoiling | None = None
    least_magnification: int = 0
    looked_for: bool = True
    words: Mapping[str, str] = field(default_factory=lambda: _NO_TEXT)
    healthy: Cell | None = None
    sitting: str = ""
    fine_of: FineForm | None = None

    def word(self, answer: str) -> str:
        """Return an answer in plain words."""
        return self.words.get(answer, answer.replace("_", " "))

    @property
    def absent(self) -> str | None:
        """The answer which says that nothing is there or amiss; None where there is no such."""
        first = self.baseline_answer.partition("_")[0]
        return self.baseline_answer if first in NOTHING_AMISS and not self.gate else None

    @property
    def gate_finding(self) -> str:
        """The finding this one hangs on ("" for none)."""
        return self.gate.partition("=")[0]

    @property
    def gate_answer(self) -> str:
        """The answer the gate must have ("" for none)."""
        return self.gate.partition("=")[2]


@dataclass(frozen=True, slots=True)
class Condition:
    """One cause (or a normal look-alike) with its odds, its signs and the harm it does.

    Args:
        id: identifier used in case files and tables.
        name: name to show.
        kind: class of agent.
        water: waters it occurs in, in words.
        prior: for a listed cause its weight among listed causes as the leading one (they are
            scaled to what the other rows leave); for the others their share of presented cases.
        prior_note: what the prior rests on.
        cells: cells with an estimate of their own; any other finding is silent.
        harm_missed: share of the stock lost by leaving it a day.
        harm_in_vain: share of the stock lost by acting on it when it is not there.
        cannot_miss: whether it belongs to the must-not-miss strip.
        alarm: dangerous causes of one alarm are met by one first step ("" for its own).
        step: what it demands before certainty ("" when nothing special).
        urgency: time within which something must happen, in words.
        zoonotic: risk for people, in words.
        reportable: duty to report, in words.
        looks: how it looks, field by field.
        sources: keys of the works behind it.
        standing: a listed cause, a group of causes not listed, or a state.
        organism: the organism whose life cycle it is ("" when none, or several).
    """

    id: str
    name: str
    kind: str
    water: str
    prior: Chance
    prior_note: str
    cells: Mapping[str, Cell]
    harm_missed: Chance
    harm_in_vain: Chance
    cannot_miss: bool
    alarm: str
    step: str
    urgency: str
    zoonotic: str
    reportable: str
    sources: tuple[str, ...]
    looks: Mapping[str, str] = field(default_factory=lambda: _NO_TEXT)
    standing: Standing = Standing.LISTED
    organism: str = ""

    @property
    def listed(self) -> bool:
        """Whether it is a cause of the list."""
        return self.standing is Standing.LISTED

    @property
    def outside(self) -> bool:
        """Whether it stands for causes that are not listed."""
        return self.standing is Standing.OUTSIDE


@dataclass(frozen=True, slots=True)
class PairRule:
    """Two causes that come together more often than by chance, or never (factor 0)."""

    first: str
    second: str
    factor: Chance
    sources: tuple[str, ...]
    provenance: Provenance
    note: str = ""


@dataclass(frozen=True, slots=True)
class WaterFirst:
    """An answer that puts a water test before everything else."""

    finding: str
    answer: str
    why: str


@dataclass(frozen=True, slots=True)
class DiagnosisFacts:
    """Everything the differential is given.

    Args:
        conditions: causes by id, listed ones first, the row for unlisted causes last.
        findings: findings by id.
        pairs: predispositions and exclusions.
        water_first: answers that put a water test first.
        numbers: the figures of the method that are judgements (weights, thresholds), by key.
        calibrated: whether the ranking was found calibrated on cases its authors did not write.
        kinds: kinds of fish with odds of their own, by id.
        sittings: pieces of work that answer findings together, by id.
        twins: causes that look like listed ones.
        warmth: for each finding on temperature, how often each answer is given for cool, warm
            and marine fish.
    """

    conditions: Mapping[str, Condition]
    findings: Mapping[str, FindingFacts]
    pairs: tuple[PairRule, ...]
    water_first: tuple[WaterFirst, ...]
    numbers: Mapping[str, Claim]
    calibrated: bool = False
    kinds: Mapping[str, FishKind] = field(default_factory=lambda: _NO_KINDS)
    sittings: Mapping[str, Sitting] = field(default_factory=lambda: _NO_SITTINGS)
    twins: tuple[Twin, ...] = ()
    warmth: Mapping[str, Mapping[str, Mapping[str, float]]] = field(
        default_factory=lambda: _NO_WARMTH
    )

    def number(self, key: str) -> float:
        """Return one of the judgement figures.

        Raises:
            KeyError: nothing is recorded under the key.
        """
        return self.numbers[key].number()
