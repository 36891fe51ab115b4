"""New water that runs through a tank or pond: what the entries of a case tell of it, in time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tankside.case import CaseView
from tankside.case.system import SystemDescribed
from tankside.course.amounts.water_account import NO_RUN, Edges
from tankside.course.bodies.system import Inflow
from tankside.quantity import Kind


@dataclass(frozen=True, slots=True)
class ToldFlow:
    """An entry that tells of the inflow of a water, with what runs through from then on [L/h]."""

    entry: SystemDescribed
    inflow: Inflow | None

    @property
    def edges_l_h(self) -> Edges:
        """The least that surely runs through and the most that must be feared [L/h]."""
        return NO_RUN if self.inflow is None else self.inflow.edges_l_h()


def told_flows(view: CaseView, system: str) -> Iterator[ToldFlow]:
    """Yield every entry that tells of the inflow of one water, with all that was told until then.

    A measured inflow runs over, whether or not somebody named the overflow; "not known" takes
    nothing back that was told before.
    """
    overflow = runs = off = None
    lines = (line.current for line in view.history)
    entries = [e for e in lines if isinstance(e, SystemDescribed) and e.system == system]
    for entry in sorted(entries, key=lambda entry: (entry.moment.utc, entry.id)):
        if entry.overflow is None and entry.inflow is None and entry.inflow_off is None:
            continue
        answer = entry.overflow if entry.overflow in ("yes", "no") else None
        overflow = answer or ("yes" if entry.inflow is not None else overflow)
        runs, off = entry.inflow or runs, entry.inflow_off or off
        if overflow == "no" or (overflow != "yes" and runs is None):
            yield ToldFlow(entry, None)
            continue
        per_h = None if runs is None else runs.measured(Kind.FLOW).number("L/h")
        off_h = None if off is None else off.measured(Kind.TIME).number("h")
        yield ToldFlow(entry, Inflow(per_h, off_h))


def inflow(view: CaseView, system: str) -> Inflow | None:
    """Return what runs through one water now; None when nothing does, or nobody told of it."""
    stated = [flow.inflow for flow in told_flows(view, system)]
    return stated[-1] if stated else None


def runs_before(view: CaseView, system: str) -> Edges:
    """Return what ran through before it was told: as much as then at most, nothing at least."""
    first = next(told_flows(view, system), None)
    return NO_RUN if first is None else (0.0, first.edges_l_h[1])
