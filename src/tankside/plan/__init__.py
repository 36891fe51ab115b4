"""Levers, candidate courses, racing search, comparison, ablation."""

from tankside.plan.candidate import (
    NO_TREATMENT,
    WATER_ONLY,
    Candidate,
    CandidatePart,
    Lever,
    course_of,
)
from tankside.plan.compare import (
    DEFAULT_SIZES,
    Blocked,
    Compared,
    Comparison,
    LeftOut,
    Sizes,
    compare,
    horizon_days,
)
from tankside.plan.levers import Levers, read_levers
from tankside.plan.propose import propose
from tankside.plan.racing import Progress, RaceRules, race
from tankside.plan.score import Score, score
from tankside.plan.situation import NotHere, Situation, Staying, Substance
from tankside.plan.trial import Trial

__all__ = [
    "DEFAULT_SIZES",
    "NO_TREATMENT",
    "WATER_ONLY",
    "Blocked",
    "Candidate",
    "CandidatePart",
    "Compared",
    "Comparison",
    "LeftOut",
    "Lever",
    "Levers",
    "NotHere",
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
    "horizon_days",
    "propose",
    "race",
    "read_levers",
    "score",
]
