"""``tankside sheet``: the teaching pages as sheets, read here or printed."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer, note


def command(
    sheet: Annotated[
        str,
        typer.Argument(metavar="[SHEET]", help="which one, for example look-alikes"),
    ] = "",
    temperature: Annotated[
        str | None, typer.Option(help="for a life cycle, in C: the measured one")
    ] = None,
    pdf: Annotated[str | None, typer.Option(help="write it with its drawings to this file")] = None,
    paper: Annotated[str, typer.Option(help="a4, a5 or us-letter")] = "a4",
    json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """List the teaching sheets, read one, or print it: life cycles, look-alikes, for keepers.

    A sheet teaches and is no advice for a case. It is no substitute for a licensed veterinarian;
    labels and local law come first.
    """
    from tankside.present.block_text import document_text
    from tankside.report.teaching import sheet_forms as forms
    from tankside.report.teaching.shelf import USUAL_C, sheet_at, write_sheet

    if not sheet and pdf is None:
        text = document_text(forms.contents_document())
        answer(forms.contents_json(), text, as_json=json)
        return
    asked = sheet_at(sheet, USUAL_C if temperature is None else temperature)
    if pdf is not None:
        write_sheet(asked, pdf, paper)
    answer(forms.sheet_json(asked), document_text(forms.sheet_document(asked)), as_json=json)
    if pdf is not None:
        note(f"Written: {pdf}")
