"""``tankside follow``: counts come back; what is left, does it fit, may a stop be discussed."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.account import who_types
from tankside.cli.care import FOLLOW, show_care
from tankside.cli.case_reference import CASE_HELP
from tankside.terminal.output import answer, note
from tankside.terminal.progress import teller


def command(
    case: Annotated[str, typer.Argument(metavar="CASE", help=CASE_HELP)],
    on: Annotated[
        str | None, typer.Option(help="day it is asked on (default: latest of the case)")
    ] = None,
    organism: Annotated[str | None, typer.Option(help="parasite, when the case names none")] = None,
    seed: Annotated[int | None, typer.Option(help="of chance (default: from the case)")] = None,
    reschedule: Annotated[
        bool, typer.Option("--redate", help="write the new dates after a missed or doubled step")
    ] = False,
    by: Annotated[str | None, typer.Option(help="who writes this")] = None,
    pdf: Annotated[str | None, typer.Option(help="write the answer as a PDF to this file")] = None,
    json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Compare the counts with the course: what is believed there, the date to wait for, advice.

    Stopping is never advised; when the wait is over it may be discussed.
    """
    from tankside.intake.follow_setup import FollowRequest
    from tankside.present.block_text import document_text
    from tankside.report.follow_document import follow_document
    from tankside.report.follow_json import follow_json
    from tankside.report.forms import case_foot, write_paper
    from tankside.services.by_cause import follow_by_cause
    from tankside.services.care_case import CareAnswer

    request = FollowRequest(on, organism, seed)
    followed = follow_by_cause(case, request, progress=teller(quiet=json))
    if isinstance(followed, CareAnswer):
        show_care(followed, FOLLOW, as_json=json, pdf=pdf, case=case)
        return
    document, result = follow_document(followed), follow_json(followed)
    if pdf is not None:
        write_paper(document, pdf, case_foot(case))
    text = document_text(document)
    if reschedule:
        from tankside.report.case_words import saved_words
        from tankside.services.reschedule import write_redated

        added = write_redated(case, followed, by=who_types(by))
        result["redated_entry"] = added.new[0].id
        text += f"\n\nNew dates saved in {saved_words(added.stored)}; tear up the old card."
    answer(result, text, as_json=json)
    if pdf is not None:
        note(f"Written: {pdf}")
