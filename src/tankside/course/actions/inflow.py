"""Shut the new water that runs in while something is put in, for as long as the animals bear it."""

from __future__ import annotations

from tankside.course.actions.action import Ledger
from tankside.course.bodies.effects import InflowShut
from tankside.course.bodies.words import show


def shut_inflow(ledger: Ledger, body: str) -> tuple[tuple[InflowShut, ...], str]:
    """Return the effect of shutting the inflow of a body, and the words that go before a dose.

    Nothing where no water runs through it, or where nobody said how long it may be shut: then it
    runs on and is counted.
    """
    inflow = ledger.inflow(body)
    if inflow is None or not inflow.off_for_h:
        return (), ""
    longest = show(inflow.off_for_h, "h")
    return (
        (InflowShut(body, inflow.off_for_h),),
        f"Shut the inflow first; open it again after {longest}, sooner if the fish gasp. ",
    )
