"""Which conditions explain the findings, what to look at next, and why."""

from tankside.claims.diagnosis import OUTSIDE
from tankside.diagnose.bands import Bands, bands
from tankside.diagnose.context import (
    nitrogen_answers,
    oxygen_answers,
    sample_weight,
    temperature_answers,
)
from tankside.diagnose.evidence import Evidence, passed_over
from tankside.diagnose.explain import Explanation, Speaks, explain
from tankside.diagnose.likeness import AlsoSeen, LooksAlike, also_seen, looks_alike
from tankside.diagnose.look_next import Look, Move, NextLooks, look_next
from tankside.diagnose.must_not_miss import (
    MustNotMiss,
    first_rows,
    in_strip,
    keep_in_mind,
    must_not_miss,
)
from tankside.diagnose.rank import rank, unexplained
from tankside.diagnose.ranking import Ranking
from tankside.diagnose.tables import NONE, Tables, compile_tables
from tankside.diagnose.words import SCALE, in_words

__all__ = [
    "NONE",
    "OUTSIDE",
    "SCALE",
    "AlsoSeen",
    "Bands",
    "Evidence",
    "Explanation",
    "Look",
    "LooksAlike",
    "Move",
    "MustNotMiss",
    "NextLooks",
    "Ranking",
    "Speaks",
    "Tables",
    "also_seen",
    "bands",
    "compile_tables",
    "explain",
    "first_rows",
    "in_strip",
    "in_words",
    "keep_in_mind",
    "look_next",
    "looks_alike",
    "must_not_miss",
    "nitrogen_answers",
    "oxygen_answers",
    "passed_over",
    "rank",
    "sample_weight",
    "temperature_answers",
    "unexplained",
]
