"""Which decision ended the plan a case follows."""

from __future__ import annotations

from tankside.case.done import Decision

ENDS_THE_PLAN = frozenset({"stop", "end", "change", "wait"})
"""Decisions after which the steps of the plan before them are not done."""
KEEPS_THE_PLAN = frozenset({"start", "go_on", "extend"})
"""Decisions that take one of those back."""


def plan_ended_by(decisions: tuple[Decision, ...], chosen_entry: int) -> Decision | None:
    """Return the decision that ended a plan, unless a later one took it up again.

    Args:
        decisions: those of the case.
        chosen_entry: number of the entry that chose the plan.
    """
    after = [
        d for d in decisions if d.id > chosen_entry and d.what in ENDS_THE_PLAN | KEEPS_THE_PLAN
    ]
    latest = max(after, key=lambda d: d.id, default=None)
    return latest if latest is not None and latest.what in ENDS_THE_PLAN else None
