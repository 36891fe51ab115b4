"""Show the care of a case where a command has no simulated answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tankside.cli.show import show
from tankside.terminal.output import answer, note

if TYPE_CHECKING:
    from tankside.services.care_case import CareAnswer
    from tankside.services.saving import Added

PLAN, FOLLOW, FORECAST, TODAY = "plan", "follow", "forecast", "today"


def tell_choice(name: str, added: Added, *, as_json: bool) -> None:
    """Print which course was written into the case."""
    from tankside.present.block_text import document_text
    from tankside.report.plan_text import chosen_document, chosen_json

    answer(chosen_json(name, added), document_text(chosen_document(added)), as_json=as_json)


def show_care(
    care: CareAnswer,
    door: str,
    *,
    as_json: bool,
    pdf: str | None,
    case: str,
    ics: str | None = None,
) -> None:
    """Print the care of a case once, and write its paper and calendar where asked for.

    Args:
        care: what is done for the causes of the case.
        door: the command that was asked.
        as_json: whether ``--json`` was given.
        pdf: the file of the paper; None for none.
        case: the case file it was made from.
        ics: the file of the calendar; None for none.

    Raises:
        CouldNotSave: the disk refused.
    """
    from tankside.report.care_calendar import write_care_ics
    from tankside.report.care_document import care_document
    from tankside.report.care_json import care_json

    if ics is not None:
        write_care_ics(care, ics)
    show(care_document(care, door), care_json(care), as_json=as_json, pdf=pdf, case=case)
    if ics is not None:
        note(f"Written: {ics}")
