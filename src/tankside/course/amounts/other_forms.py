"""Which form a container must hold, and what it would mean if it held another: proved backwards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from tankside.claims import Knowledge, setting
from tankside.course.amounts import double_check
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.amounts.choice import PRODUCT, forms_of
from tankside.course.amounts.label import LabelEntry, StrengthBasis
from tankside.course.amounts.printing import concentration, label_words
from tankside.course.bodies.caution import Caution, Level

_AS_FILLED = Decimal(str(setting(0.1, "one solution is sold at 37 to 40 % formaldehyde")))


def read_back(facts: Knowledge, agent_name: str, printed: PrintedAmount) -> str:
    """Say which form the container holds, and what the same amount of another would bring.

    The strengths are those of the second sum, from the printed words back: nobody is told that
    another amount would be needed, only what this one does. A container whose contents are the
    same by another name is no other form.
    """
    others = [
        f"{_brings(printed, label)} if it is {label.form.removeprefix('as ')}"
        for label in other_readings(facts, printed.label)
    ]
    if not others:
        return ""
    form = printed.label.form.removeprefix("as ")
    return (
        f"The container of {agent_name} must say {form}: the same amount would bring "
        f"{', '.join(others)}, not {concentration(printed.strength_mg_l, '')}."
    )


def read_form_again(facts: Knowledge, agent_name: str, printed: PrintedAmount) -> Iterator[Caution]:
    """Ask to read the form on the label where it was taken for granted and forms differ."""
    said = "" if printed.label.form_named else read_back(facts, agent_name, printed)
    if said:
        form = printed.label.form.removeprefix("as ")
        yield Caution(
            Level.CARE,
            "E-PROD-04",
            f"Is it {form}? The label of {agent_name} names no form.",
            said,
            f"agent.{printed.agent}.form",
            "Compare with the label, ask who sold it, or read the strength with a test; never add "
            "more on a guess.",
            agent=printed.agent,
        )


def poorest_reading(facts: Knowledge, label: LabelEntry) -> LabelEntry:
    """Return a container that names no form as the form that holds least; else the same."""
    agent = facts.agents.get(label.agent)
    if agent is None or label.form_named or label.basis is StrengthBasis.AS_PRODUCT:
        return label
    forms = forms_of(agent, in_containers=True)
    poorest = min(forms, key=lambda name: forms[name])
    return replace(label, form=poorest, active_per_form=forms[poorest])


def _brings(printed: PrintedAmount, label: LabelEntry) -> str:
    """Return the strength that the printed amount would bring out of another container."""
    mg_l = double_check.strength_from_print(
        printed.text, label_words(label), printed.stock_solution, str(printed.for_l)
    )
    return concentration(float(mg_l), "")


def other_readings(facts: Knowledge, label: LabelEntry) -> Iterator[LabelEntry]:
    """Yield a container as it would be if it held another form.

    A form told as product is the whole of the container, whatever share of another form it holds.
    """
    agent = facts.agents.get(label.agent)
    forms = {} if agent is None else forms_of(agent, in_containers=True)
    for name, share in forms.items():
        if PRODUCT in name:
            basis = StrengthBasis.AS_PRODUCT
            other = replace(
                label, form=name, basis=basis, strength=Decimal(1), active_per_form=share
            )
        elif label.basis is StrengthBasis.AS_PRODUCT:
            continue
        else:
            other = replace(label, form=name, active_per_form=share)
        if not _alike(other, label):
            yield other


def _alike(first: LabelEntry, second: LabelEntry) -> bool:
    """Whether two readings of one container hold as much, within what a bottle is filled to."""
    holds = [label.strength * label.active_per_form for label in (first, second)]
    return abs(holds[0] - holds[1]) <= max(holds) * _AS_FILLED
