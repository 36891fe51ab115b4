"""Show the care of a case where a command has no simulated answer."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tankside.cli.account import who_types
from tankside.cli.show import show
from tankside.terminal.output import note

if TYPE_CHECKING:
    from tankside.services.care_case import CareAnswer

PLAN, FOLLOW, FORECAST, TODAY = "plan", "follow", "forecast", "today"


@dataclass(frozen=True, slots=True)
class Choice:
    """A course of care that is chosen: its number, who chooses and why."""

    number: int
    by: str | None
    reason: str


def show_care(
    care: CareAnswer,
    door: str,
    *,
    as_json: bool,
    pdf: str | None,
    case: str,
    ics: str | None = None,
    choice: Choice | None = None,
) -> None:
    """Print the care of a case once, and write its paper and calendar where asked for.

    Args:
        care: what is done for the causes of the case.
        door: the command that was asked.
        as_json: whether ``--json`` was given.
        pdf: the file of the paper; None for none.
        case: the case file it was made from.
        ics: the file of the calendar; None for none.
        choice: the course of care that is written into the case; None for none.

    Raises:
        BadInput: E-PLAN-04 there is no such course.
        NotPossible: the course cannot be followed here.
        CouldNotSave: the disk refused.
    """
    from tankside.report.care_calendar import write_care_ics
    from tankside.report.care_document import care_document
    from tankside.report.care_json import care_json
    from tankside.report.plan_text import chosen_block
    from tankside.services.care_choice import choose_care

    document, data = care_document(care, door), care_json(care)
    if choice is not None:
        by = who_types(choice.by)
        added = choose_care(case, care, choice.number, by=by, reason=choice.reason)
        data["chosen"] = {"number": choice.number, "entry": added.new[0].id}
        chosen = chosen_block(choice.number, added)
        document = replace(document, blocks=(*document.blocks, chosen))
    if ics is not None:
        write_care_ics(care, ics)
    show(document, data, as_json=as_json, pdf=pdf, case=case)
    if ics is not None:
        note(f"Written: {ics}")
