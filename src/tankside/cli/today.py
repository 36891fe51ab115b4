"""``tankside today``: the day card of a case, to read, print, paste or put in a calendar."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.care import TODAY, show_care
from tankside.cli.case_reference import CASE_HELP
from tankside.terminal.output import answer, note


def command(
    case: Annotated[str, typer.Argument(metavar="CASE", help=CASE_HELP)],
    date: Annotated[
        str | None, typer.Option(help="day, for example 2026-03-04 (left out: today at the tank)")
    ] = None,
    pdf: Annotated[str | None, typer.Option(help="write the card as a PDF to this file")] = None,
    ics: Annotated[
        str | None, typer.Option(help="write the whole course as a calendar to this file")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Show what to do today: morning, evening, amounts, what not to do, when to call.

    The card comes from the course the case chose. It is valid until noon of the next day.
    """
    from tankside.report import day_card
    from tankside.services.by_cause import today_by_cause
    from tankside.services.care_case import CareAnswer

    asked_day = today_by_cause(case, date)
    if isinstance(asked_day, CareAnswer):
        show_care(asked_day, TODAY, as_json=json, pdf=pdf, case=case, ics=ics)
        return
    if pdf is not None:
        day_card.write_pdf(asked_day, pdf)
    if ics is not None:
        day_card.write_ics(asked_day, ics)
    answer(day_card.day_card_json(asked_day), day_card.text_of_day(asked_day), as_json=json)
    for written in (pdf, ics):
        if written is not None:
            note(f"Written: {written}")
