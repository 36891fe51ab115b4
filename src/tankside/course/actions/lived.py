"""A course as it was lived: what became of its steps, what was logged beside them, what is left.

A step that was lived enters the water as it took place. A step ahead is held to what the plan
meant it to add and to the strength the plan comes to with it: after a missed step nothing is
doubled to catch up, after a doubled one only what is missing goes in, or nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from tankside.claims.cited import setting
from tankside.course.actions.action import Action, Declared, Ledger, at_hour
from tankside.course.actions.change import WaterChange
from tankside.course.actions.dose import Dose
from tankside.course.actions.salt import SaltTo
from tankside.course.actions.siphon import Siphon
from tankside.course.bodies.effects import AgentAdded, Effect, Exchanged, Held
from tankside.course.bodies.words import show
from tankside.quantity.per import MG_PER_G

_NOTHING = setting(0.01, "shares of a step's amount below this are what rounding left")
_SAME = setting(1e-9, "shares closer than this are the same strength")


@dataclass(frozen=True, slots=True)
class StepLived:
    """What became of one step.

    Args:
        at_h: elapsed hour at which it took place.
        times: how often what it puts in went in; 0 for a step that did not take place.
        surely: False when nobody knows whether it took place.
        mg: the mass that was logged in place of the planned one, on the agent's basis [mg].
        litres: the water that was logged in place of the planned one [L].
    """

    at_h: float
    times: float = 1.0
    surely: bool = True
    mg: float | None = None
    litres: float | None = None

    @property
    def left_out(self) -> bool:
        """Whether nothing of it took place."""
        nothing_told = self.mg is None and self.litres is None
        return self.surely and self.times == 0 and nothing_told

    @property
    def as_planned(self) -> bool:
        """Whether it took place as it was planned."""
        return self.surely and self.times == 1 and self.mg is None and self.litres is None


@dataclass(frozen=True, slots=True)
class StepBound:
    """What a step that puts in one agent may do at most [mg/L].

    Args:
        add_mg_l: the most that goes in at once.
        to_mg_l: the strength that the plan comes to with it.
    """

    add_mg_l: float
    to_mg_l: float


@dataclass(frozen=True, slots=True)
class Lived:
    """What happened beside and instead of the plan.

    Args:
        steps: what became of steps, by their place in the course.
        logged: what went in and out outside the course, with the elapsed hour.
        bounds: what steps ahead may put in, by their place in the course.
    """

    steps: Mapping[int, StepLived] = field(default_factory=dict)
    logged: tuple[tuple[float, Effect], ...] = ()
    bounds: Mapping[int, StepBound] = field(default_factory=dict)


def declared_as_lived(
    lived: StepLived, bound: StepBound | None, action: Action, ledger: Ledger
) -> Declared:
    """Return what a step did that was told of: nothing, its amount some times, another amount.

    What it was told to do on its day is what ``declared_within`` says of the same ``bound``.
    """
    if lived.left_out:
        return Declared((), "This step was not done.")
    at = at_hour(action, int(lived.at_h))
    if lived.litres is not None and isinstance(at, Siphon | WaterChange):
        at = replace(at, litres=lived.litres)
    declared = declared_within(bound, at, ledger)
    if lived.as_planned:
        return declared
    effects = _as_logged(lived, at, declared.effects)
    text = declared.text if lived.surely else "Nobody knows whether this step was done."
    masses = [
        f"{show(effect.mg / MG_PER_G, 'g')} of {ledger.agent_name(effect.agent)}"
        for effect in effects
        if isinstance(effect, AgentAdded) and effect.mg > 0 and lived.surely
    ]
    if masses and lived.litres is None:
        text = "Logged as given: " + " and ".join(masses) + " (of the active)."
    return replace(declared, effects=effects, text=text, amounts=(), cautions=())


def _as_logged(lived: StepLived, action: Action, planned: tuple[Effect, ...]) -> tuple[Effect, ...]:
    effects: list[Effect] = []
    for effect in planned:
        if isinstance(effect, AgentAdded):
            mg = effect.mg * lived.times if lived.mg is None else lived.mg
            effects.append(replace(effect, mg=mg, least_mg=mg if lived.surely else 0.0))
        elif isinstance(effect, Exchanged):
            effects.append(replace(effect, surely=lived.surely))
        else:
            effects.append(effect)
    agent = agent_of_step(action)
    none_in = not any(isinstance(effect, AgentAdded) for effect in effects)
    if agent and lived.mg and none_in:
        effects.insert(0, AgentAdded(action.body, agent, lived.mg, whole=True))
    return tuple(effects)


def agent_of_step(action: Action) -> str:
    """Return the agent id of a step ("" when it has none)."""
    return str(getattr(action, "agent", ""))


def planned_add_mg_l(action: Action, there_mg_l: float) -> float | None:
    """Return what a step means to add to the whole water [mg/L]; None when it adds nothing so."""
    if isinstance(action, SaltTo):
        return max(0.0, action.to_g_l * MG_PER_G - there_mg_l)
    if isinstance(action, Dose) and action.minutes is None:
        return max(0.0, action.strength_mg_l - (there_mg_l if action.counting_residue else 0.0))
    return None


def declared_within(bound: StepBound | None, action: Action, ledger: Ledger) -> Declared:
    """Return what a step ahead does: its own amount, what is missing to the strength, or nothing.

    Args:
        bound: what it may put in; None for a step that puts nothing into the whole water.
        action: the step as planned.
        ledger: the account of the water as it was lived.
    """
    agent = agent_of_step(action)
    there = ledger.may_be_mg_l(action.body, agent) if agent else None
    wanted = None if there is None else planned_add_mg_l(action, there)
    if bound is None or there is None or wanted is None:
        return action.declare(ledger)
    allowed = min(bound.add_mg_l, bound.to_mg_l - there)
    surely = ledger.account_mg_l(action.body, agent) or 0.0
    if bound.add_mg_l > 0 and not allowed > _NOTHING * bound.add_mg_l:
        return _left_out(bound, action, ledger, there)
    if allowed >= wanted * (1 - _SAME) and there - surely <= _SAME * max(there, 1.0):
        return action.declare(ledger)
    if isinstance(action, SaltTo):
        return _reaching(replace(action, to_g_l=(surely + allowed) / MG_PER_G), bound, ledger)
    if isinstance(action, Dose):
        return _reaching(
            replace(action, strength_mg_l=allowed, counting_residue=False), bound, ledger
        )
    return action.declare(ledger)


def _reaching(action: SaltTo | Dose, bound: StepBound, ledger: Ledger) -> Declared:
    """Declare a step with another amount than planned, and say why."""
    declared = action.declare(ledger)
    held = tuple(e for e in declared.effects if not isinstance(e, Held))
    after = (ledger.may_be_mg_l(action.body, action.agent) or 0.0) + sum(
        e.mg / ledger.volume_l(action.body) for e in held if isinstance(e, AgentAdded)
    )
    words = (
        f"{declared.text} Not the planned amount: it is counted on what really went in. "
        f"The plan means {strength_words(bound.to_mg_l)} here; the water then holds at most "
        f"{strength_words(after)}."
    )
    meant = Held(action.body, action.agent, min(after, bound.to_mg_l), action.reason)
    return replace(declared, effects=(*held, meant), text=words)


def _left_out(bound: StepBound, action: Action, ledger: Ledger, there_mg_l: float) -> Declared:
    """Say that nothing goes in, and how much water would bring the strength down."""
    agent, litres = agent_of_step(action), ledger.volume_l(action.body)
    name = ledger.agent_name(agent)
    held = Held(action.body, agent, bound.to_mg_l, getattr(action, "reason", ""))
    words = f"Leave this step out: no {name}. The water may hold {strength_words(there_mg_l)}, "
    if there_mg_l > bound.to_mg_l * (1 + _NOTHING):
        out_l = litres * (1 - bound.to_mg_l / there_mg_l)
        words += (
            f"the plan means {strength_words(bound.to_mg_l)} here. Call before anything else is "
            f"done. {show(out_l, 'L')} changed without {name} would bring it down to that."
        )
    else:
        words += "which is what the plan means here. Call."
    return Declared((held,), words)


def strength_words(mg_l: float) -> str:
    """Return a strength in the unit that reads best."""
    return show(mg_l / MG_PER_G, "g/L") if mg_l >= MG_PER_G / 10 else show(mg_l, "mg/L")
