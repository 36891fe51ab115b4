"""How much of an agent is in what was poured from its container: by the label read before."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.course import ToolUnit
from tankside.course.amounts.weighing import product_per_active
from tankside.errors import BadInput
from tankside.intake.labels import label_of
from tankside.quantity.moment import Moment


def mg_in_ml(view: CaseView, facts: Knowledge, agent: str, at: Moment) -> float | None:
    """Return the mass of an agent in one millilitre of its container [mg], on the agent's basis.

    Args:
        view: the case.
        facts: agents and their forms.
        agent: id of the agent.
        at: when it was poured; the last label read up to then counts.

    Returns:
        None where no label had been read, or it does not tell (a mass without a density).
    """
    read = (label_of(facts, entry, at) for entry in view.labels if entry.moment.utc <= at.utc)
    label = next((label for label in reversed([*read]) if label.agent == agent), None)
    if label is None:
        return None
    try:
        return 1 / float(product_per_active(label, ToolUnit.MILLILITRE))
    except BadInput:
        return None
