"""What the parasite will do in this water, on these fish: stages, chance, many histories.

``compile`` turns an organism (data) and TankHours (course) into arrays, ``draw`` gives each
history its own claim values, ``run`` plays the histories, ``observe`` says how likely the counts
made at the tank are in each, ``stage_durations`` gives the dates that print supports.
"""

from tankside.lifecycle.inputs.claim_sampling import draw
from tankside.lifecycle.inputs.compiling import Compiled
from tankside.lifecycle.inputs.compiling import compile_life_cycle as compile
from tankside.lifecycle.inputs.egg_window import egg_window_days, last_hatch_days
from tankside.lifecycle.inputs.printed_tail import PrintedTail, printed_tail
from tankside.lifecycle.inputs.stage_durations import (
    StageDurations,
    free_life_days,
    life_days,
    residence_days,
    stage_durations,
)
from tankside.lifecycle.inputs.types import Arrival, Draws, HostGroup, InitialState, Range
from tankside.lifecycle.results.active_factors import ActiveFactor, active_factors
from tankside.lifecycle.results.histories import Histories
from tankside.lifecycle.results.observation_model import Sighting, anything_seen, observe
from tankside.lifecycle.results.of_twenty import OfTwenty, of_twenty, opposite
from tankside.lifecycle.running import prepare, run

__all__ = [
    "ActiveFactor",
    "Arrival",
    "Compiled",
    "Draws",
    "Histories",
    "HostGroup",
    "InitialState",
    "OfTwenty",
    "PrintedTail",
    "Range",
    "Sighting",
    "StageDurations",
    "active_factors",
    "anything_seen",
    "compile",
    "draw",
    "egg_window_days",
    "free_life_days",
    "last_hatch_days",
    "life_days",
    "observe",
    "of_twenty",
    "opposite",
    "prepare",
    "printed_tail",
    "residence_days",
    "run",
    "stage_durations",
]
