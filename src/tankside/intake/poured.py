"""How much of an agent is in what was poured from its container: by the label read before."""

from __future__ import annotations

from tankside.case import Amount, CaseView
from tankside.claims import Knowledge
from tankside.course import LabelEntry, ToolUnit
from tankside.course.amounts.other_forms import poorest_reading
from tankside.course.amounts.water_account import Edges
from tankside.course.amounts.weighing import product_per_active
from tankside.errors import BadInput
from tankside.intake.labels import label_of
from tankside.intake.substances import form_factor, tells_form
from tankside.quantity import Kind
from tankside.quantity.moment import Moment


def poured_mg(
    view: CaseView, facts: Knowledge, name: str, agent: str, amount: Amount, at: Moment
) -> Edges | None:
    """Return the least and the most that an amount told under a name may hold [mg].

    A mass is one of the agent, in the form that its name tells; a volume holds what the label says.
    Where the label does not tell the form, the least is that of the form that holds least.

    Args:
        view: the case.
        facts: agents and their forms.
        name: as typed.
        agent: id of the agent.
        amount: a mass or a volume.
        at: when it was poured; the last label read up to then counts.

    Returns:
        None where a volume was told and no label says what it holds.
    """
    value = amount.measured(Kind.MASS, Kind.VOLUME)
    if value.kind is Kind.VOLUME:
        held = mg_in_ml(view, facts, agent, at)
        if held is None:
            return None
        ml = value.number("mL")
        return held[0] * ml, held[1] * ml
    mg, label = value.number("mg"), _label_before(view, facts, agent, at)
    if label is not None and not label.form_named and not tells_form(facts, name):
        low, high = (float(read.active_per_form) for read in (poorest_reading(facts, label), label))
        return mg * low, mg * high
    mg *= form_factor(facts, name, amount)
    return mg, mg


def mg_in_ml(view: CaseView, facts: Knowledge, agent: str, at: Moment) -> Edges | None:
    """Return the least and the most that one millilitre of a container holds of its agent [mg].

    None where no label had been read, or it does not tell (a mass without a density).
    """
    label = _label_before(view, facts, agent, at)
    if label is None:
        return None
    try:
        low, high = (
            1 / float(product_per_active(read, ToolUnit.MILLILITRE))
            for read in (poorest_reading(facts, label), label)
        )
    except BadInput:
        return None
    return low, high


def share_by_form(facts: Knowledge, label: LabelEntry | None) -> float:
    """Return which share of what a label was read as it holds at least, by its poorest form."""
    if label is None:
        return 1.0
    return float(poorest_reading(facts, label).active_per_form / label.active_per_form)


def _label_before(view: CaseView, facts: Knowledge, agent: str, at: Moment) -> LabelEntry | None:
    read = (label_of(facts, entry, at) for entry in view.labels if entry.moment.utc <= at.utc)
    return next((label for label in reversed([*read]) if label.agent == agent), None)
