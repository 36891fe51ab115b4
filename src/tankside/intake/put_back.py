"""Whether there is anything to put back: only what is in the water, and what is not back yet."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.claims import Agent, setting
from tankside.course import System
from tankside.errors import BadInput, NotPossible
from tankside.intake.substances import agent_in_water
from tankside.library import load
from tankside.quantity import Kind

_NEAR = setting(0.02, "a tool may be off by 2 % of the amount at most")


def refuse_nothing_to_put_back(view: CaseView, system: System, agent: Agent, mg_l: float) -> None:
    """Refuse an amount to put back that no change asks for.

    Args:
        view: the case.
        system: the water, with what the account says is in it.
        agent: what would be put back.
        mg_l: the strength that is held [mg/L].

    Raises:
        NotPossible: E-DOSE-20 nothing of it is in the water.
        BadInput: E-DOSE-25 it is at its strength again, since the last change.
    """
    there = next((lot for lot in system.residues if lot.agent == agent.id), None)
    if there is None or (there.high_mg_l is not None and not there.high_mg_l > 0):
        raise NotPossible(
            "E-DOSE-20",
            f"No {agent.name} is in the water by what was entered: which dose is put back?",
            given="nothing in the water",
            needed="the dose that is being held, or an amount for the whole water",
            next_step="Enter what went in (in-water, done), or ask without changed.",
            field="changed",
        )
    at_strength = there.high_mg_l is not None and there.high_mg_l >= mg_l * (1 - _NEAR)
    if at_strength and _given_since_the_change(view, system.id, agent.id):
        raise BadInput(
            "E-DOSE-25",
            f"What the last change took out of {agent.name} is back already.",
            given="put back since the last change",
            needed="a change of water that was entered, and not yet made up for",
            next_step="Enter the change first, if more water was changed.",
            field="changed",
        )


def _given_since_the_change(view: CaseView, system: str, agent: str) -> bool:
    """Whether an amount of an agent was logged as given after the last water was changed."""
    facts = load()
    done = [
        entry
        for entry in view.actions_done
        if entry.system == system and entry.state in ("done", "other_amount")
    ]
    changed = [
        entry.moment.utc
        for entry in done
        if entry.water_changed is not None
        and entry.water_changed.measured(Kind.VOLUME).number("L") > 0
    ]
    put_in = [
        entry.moment.utc
        for entry in done
        if entry.agent is not None and agent_in_water(facts, entry.agent) == agent
    ]
    return bool(changed and put_in) and max(put_in) > max(changed)
