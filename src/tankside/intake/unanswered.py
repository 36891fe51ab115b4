"""An amount that was asked for and never answered stops the next one: was it given or not?"""

from __future__ import annotations

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.errors import NotPossible
from tankside.intake.account import PROLONGED, AskedAmount, asked_amounts
from tankside.intake.joined_waters import joined_waters
from tankside.intake.water_balance import reader_of
from tankside.quantity.dates import entry_moment_words


def unanswered(view: CaseView, facts: Knowledge, system: str) -> tuple[AskedAmount, ...]:
    """Return the amounts asked for in one water, or in one joined to it, that nobody answered."""
    waters = joined_waters(view)
    asked = asked_amounts(view, waters, waters.now(system), reader_of(view, facts).name_of)
    return tuple(a for a in asked if a.was_given is None and a.entry.route == PROLONGED)


def refuse_unanswered(view: CaseView, facts: Knowledge, system: str) -> None:
    """Refuse to weigh anything more into a water while an amount stands unanswered.

    Raises:
        NotPossible: E-DOSE-28, naming the entry and how to answer it.
    """
    for asked in unanswered(view, facts, system)[:1]:
        entry = asked.entry
        done = f'action="{entry.agent}" agent={asked.agent} index={entry.id}'
        raise NotPossible(
            "E-DOSE-28",
            "An amount was asked for and nobody said whether it was given.",
            given=f"entry {entry.id}, {entry_moment_words(entry.moment)}: {entry.agent} "
            f"{entry.strength}",
            needed="given, not given, or the amount that went in",
            next_step=f"Answer it: tankside case add CASE done {done} (or not-done {done}).",
            field="dose",
        )
