"""Levers, candidate courses, racing search, comparison, ablation."""

from tankside.plan.candidate import NO_TREATMENT, WATER_ONLY, Candidate, Lever, Part, course_of
from tankside.plan.compare import (
    Blocked,
    Compared,
    Comparison,
    LeftOut,
    Sizes,
    compare,
)
from tankside.plan.levers import Levers, read_levers
from tankside.plan.propose import propose
from tankside.plan.racing import Progress, RaceRules, race
from tankside.plan.score import Score, score
from tankside.plan.situation import Situation, Staying, Substance
from tankside.plan.trial import Trial

__all__ = [
    "NO_TREATMENT",
    "WATER_ONLY",
    "Blocked",
    "Candidate",
    "Compared",
    "Comparison",
    "LeftOut",
    "Lever",
    "Levers",
    "Part",
    "Progress",
    "RaceRules",
    "Score",
    "Situation",
    "Sizes",
    "Staying",
    "Substance",
    "Trial",
    "compare",
    "course_of",
    "propose",
    "race",
    "read_levers",
    "score",
]
