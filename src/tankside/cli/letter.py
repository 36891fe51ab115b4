"""``tankside letter``: the all-clear, the sheet for a laboratory, the quarantine of a case."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.case_reference import CASE_HELP
from tankside.cli.show import show


def command(
    case: Annotated[str, typer.Argument(metavar="CASE", help=CASE_HELP)],
    kind: Annotated[str, typer.Argument(help="all-clear, laboratory or quarantine")],
    pdf: Annotated[str | None, typer.Option(help="write it as a PDF to this file")] = None,
    json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Write about a case: for the keeper when it is over, for a laboratory, for new fish.

    An all-clear is written only when every look of the rule was made and showed nothing; until
    then the letter says what is missing and when to look.
    """
    from tankside.report.letters import letter_document
    from tankside.report.letters_json import letter_json
    from tankside.services.letters import letter

    answer = letter(case, kind)
    show(letter_document(answer), letter_json(answer), as_json=json, pdf=pdf, case=case)
