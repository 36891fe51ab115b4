"""Counts come back: belief, misfit alarm, "not before", go on or change, new dates."""

from tankside.follow.belief import Believed, Cloud, Effort, believe, degenerate, search
from tankside.follow.decide import Advice, Decided, Standing, decide
from tankside.follow.misfit import Foretold, foretell, outside
from tankside.follow.not_before import Looked, NotBefore, not_before
from tankside.follow.proposal import Proposal
from tankside.follow.reasons import Clues, Reason, ToExamine, examine
from tankside.follow.redate import Happened, Redated, Step, redate

__all__ = [
    "Advice",
    "Believed",
    "Cloud",
    "Clues",
    "Decided",
    "Effort",
    "Foretold",
    "Happened",
    "Looked",
    "NotBefore",
    "Proposal",
    "Reason",
    "Redated",
    "Standing",
    "Step",
    "ToExamine",
    "believe",
    "decide",
    "degenerate",
    "examine",
    "foretell",
    "not_before",
    "outside",
    "redate",
    "search",
]
