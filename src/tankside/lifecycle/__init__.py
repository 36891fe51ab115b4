"""What the parasite will do in this water, on these fish: stages, chance, many histories.

``compile`` turns an organism (data) and TankHours (course) into arrays, ``draw`` gives each
history its own claim values, ``run`` plays the histories, ``observe`` says how likely the counts
made at the tank are in each, ``windows`` gives the dates that print supports.
"""

from tankside.lifecycle.compiling import Compiled
from tankside.lifecycle.compiling import compile_life_cycle as compile
from tankside.lifecycle.observing import Sighting, observe
from tankside.lifecycle.of_twenty import OfTwenty, of_twenty, opposite
from tankside.lifecycle.running import prepare, run
from tankside.lifecycle.sampling_claims import draw
from tankside.lifecycle.telling import Told, what_acts
from tankside.lifecycle.types import Arrival, Draws, Histories, HostGroup, Range, StartState
from tankside.lifecycle.windows import Windows, stay_days, windows

__all__ = [
    "Arrival",
    "Compiled",
    "Draws",
    "Histories",
    "HostGroup",
    "OfTwenty",
    "Range",
    "Sighting",
    "StartState",
    "Told",
    "Windows",
    "compile",
    "draw",
    "observe",
    "of_twenty",
    "opposite",
    "prepare",
    "run",
    "stay_days",
    "what_acts",
    "windows",
]
