"""``tankside findings``: what can be looked for, by where it is seen, and how it is answered."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.word_offers import offered_findings
from tankside.terminal.output import answer

Word = Annotated[
    str,
    typer.Argument(metavar="[WORD]", help="part of a name, a question or an answer",
                   autocompletion=offered_findings),
]  # fmt: skip
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]


def command(word: Word = "", as_json: Json = False) -> None:
    """The signs that can be entered and their answers, by the work that shows them."""
    from tankside.present.block_text import document_text
    from tankside.report.findings_list import findings_document, findings_json
    from tankside.services.findings import findings

    listed = findings(word)
    answer(findings_json(listed), document_text(findings_document(listed)), as_json=as_json)
