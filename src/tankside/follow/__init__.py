"""Counts come back: belief, misfit alarm, "not before", go on or change, new dates."""

from tankside.follow.decide import Advice, Decided, DecisionInputs, Fit, decide, fit_of
from tankside.follow.initial_burden import (
    GroupCount,
    initial_states,
    most_affected,
    share_seen,
    start_state,
)
from tankside.follow.least_cleared import as_if_unseen
from tankside.follow.not_before import DayLooked, NamedDate, NotBefore, Waits, not_before
from tankside.follow.posterior import (
    Effort,
    PosteriorRange,
    WeightedEnsemble,
    degenerate,
    sample_posterior,
    search,
)
from tankside.follow.predictive_check import Predicted, outside, predict
from tankside.follow.proposal import Proposal
from tankside.follow.reasons import Clues, Reason, ToExamine, examine
from tankside.follow.reschedule import DosingStep, Rescheduled, reschedule

__all__ = [
    "Advice",
    "Clues",
    "DayLooked",
    "Decided",
    "DecisionInputs",
    "DosingStep",
    "Effort",
    "Fit",
    "GroupCount",
    "NamedDate",
    "NotBefore",
    "PosteriorRange",
    "Predicted",
    "Proposal",
    "Reason",
    "Rescheduled",
    "ToExamine",
    "Waits",
    "WeightedEnsemble",
    "as_if_unseen",
    "decide",
    "degenerate",
    "examine",
    "fit_of",
    "initial_states",
    "most_affected",
    "not_before",
    "outside",
    "predict",
    "reschedule",
    "sample_posterior",
    "search",
    "share_seen",
    "start_state",
]
