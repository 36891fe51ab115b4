"""One amount to weigh or measure, exactly as it is printed."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from tankside.course.amounts.label import LabelEntry


@dataclass(frozen=True, slots=True)
class PrintedAmount:
    """One amount to weigh or measure, exactly as printed.

    Args:
        action: index of the action in the course.
        hour: elapsed hour at which it goes in.
        body: body of water it goes into.
        agent: agent id.
        text: the printed amount in the tool's unit, for example "80 g".
        value: the number printed.
        unit: "g", "mg" or "mL".
        active_mg: what that printed amount holds, on the agent's dosing basis [mg].
        for_l: the water it is meant for [L] (the new water only, after a change).
        strength_mg_l: what it adds to that water, after rounding to the tool's step [mg/L].
        strength_smaller_mg_l: the same if the volume is the smallest that fits [mg/L].
        basis: how concentration is told for this agent, for example "as Cu".
        sum_text: the whole sum in one line.
        label: the container it was worked out for.
        stock_solution: words of the two-step route when it is too small to measure, else "".
        reason: what was typed for passing the soft limit, else "".
        read_back: which form the container holds, and what another would bring instead, else "".
        handling: what whoever handles it must know, (field, words) each: it goes with every amount
            and is no caution about this one.
        finer: which tool would measure it better, where a step is much of it; else "".
    """

    action: int
    hour: int
    body: str
    agent: str
    text: str
    value: Decimal
    unit: str
    active_mg: Decimal
    for_l: Decimal
    strength_mg_l: Decimal
    strength_smaller_mg_l: Decimal
    basis: str
    sum_text: str
    label: LabelEntry
    stock_solution: str = ""
    reason: str = ""
    read_back: str = ""
    handling: tuple[tuple[str, str], ...] = ()
    finer: str = ""
