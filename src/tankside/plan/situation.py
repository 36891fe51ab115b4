"""What a plan must know about a case before it can propose a course."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tankside.course import StockGroup, System
from tankside.course.amounts.titration import Titration
from tankside.course.bodies.stock import Living
from tankside.lifecycle import StageDurations


class Staying(StrEnum):
    """How an agent stays in the water, which decides how it is given again."""

    HELD = "held"  # leaves only with water: put back the changed part
    FADES = "fades"  # loses strength: given again at the interval


@dataclass(frozen=True, slots=True)
class Substance:
    """An agent that may be tried, with the strengths to try.

    Args:
        agent: agent id.
        name: its plain name.
        strengths_mg_l: strengths on the agent's basis [mg/L], rising.
        staying: how it stays in the water.
        in_steps: raised in steps (salt).
        carbon_removes: whether carbon takes it out; None when not known.
        again_every_d: days between full doses that may be tried, shortest first.
        reason: what was typed for passing the soft limit, "" when nothing was.
        titration: how it is brought to strength by test; None when it is given at once.
    """

    agent: str
    name: str
    strengths_mg_l: tuple[float, ...]
    staying: Staying
    in_steps: bool = False
    carbon_removes: bool | None = None
    again_every_d: tuple[int, ...] = ()
    reason: str = ""
    titration: Titration | None = None


@dataclass(frozen=True, slots=True)
class NotHere:
    """A lever that is not tried in this water.

    Args:
        name: its plain name.
        why: why it is left out, as the end of a sentence.
    """

    name: str
    why: str


@dataclass(frozen=True, slots=True)
class Situation:
    """The case as the plan sees it.

    Args:
        systems: bodies of water.
        stock: animals.
        main: id of the body where the sick fish are.
        spare: ids of other bodies that could take them.
        fish: ids of the groups that are hosts of the parasite.
        stage_durations: durations of the stages at the measured temperature.
        substances: agents to try.
        first_h: first hour at which work can be done (hour 0 = midnight before the first day).
        change_l: litres of a part change as the practitioner wishes; None to try the levers.
        warm_to_c: temperatures to try; empty when warming is not to be tried.
        watched: groups whose fish are counted, the most affected first.
        counted: what is counted of them, in words; "" for spots by eye.
        left_out: levers that are not tried in this water.
        egg_window_d: first and last day after a dose on which the worms from eggs that it spared
            can be met before they lay; None where there is no such time.
        tail_d: the longest life in print at the measured temperature [d]; 0 where none is printed.
    """

    systems: tuple[System, ...]
    stock: tuple[StockGroup, ...]
    main: str
    spare: tuple[str, ...]
    fish: tuple[str, ...]
    stage_durations: StageDurations
    substances: tuple[Substance, ...]
    first_h: int
    change_l: float | None = None
    warm_to_c: tuple[float, ...] = ()
    watched: tuple[str, ...] = ()
    counted: str = ""
    left_out: tuple[NotHere, ...] = ()
    egg_window_d: tuple[float, float] | None = None
    tail_d: float = 0.0

    @property
    def holds_others(self) -> bool:
        """Whether invertebrates, or animals that are no fish of the outbreak, live in ``main``."""
        others = (
            group
            for group in self.stock
            if group.body == self.main
            and group.id not in self.fish
            and group.living is not Living.PLANT
        )
        return bool(self.body(self.main).invertebrates) or any(True for _ in others)

    def body(self, body: str) -> System:
        """Return a body of water by its id."""
        return next(system for system in self.systems if system.id == body)
