"""``tankside today``: the day card of a case, to read, print, paste or put in a calendar."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer, note


def command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="the case file")],
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
    from tankside.present import day_card_text
    from tankside.services import today as service

    made = service.today(case, date)
    if pdf is not None:
        service.write_pdf(made, pdf)
    if ics is not None:
        service.write_ics(made, ics)
    answer(service.as_object(made), day_card_text.as_text(made.card), as_json=json)
    for written in (pdf, ics):
        if written is not None:
            note(f"Written: {written}")
