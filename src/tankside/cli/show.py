"""Give an answer: on paper where asked for, then on the terminal, as text or as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from tankside.terminal.output import answer, note

if TYPE_CHECKING:
    from tankside.present.blocks import Document


def show(
    document: Document,
    data: Mapping[str, object],
    *,
    as_json: bool,
    pdf: str | None = None,
    case: str | None = None,
) -> None:
    """Print an answer once; with ``pdf`` its paper is written first.

    Args:
        document: the answer for a person.
        data: the documented JSON shape of the command.
        as_json: whether ``--json`` was given.
        pdf: the file of the paper; None for none.
        case: the case file it was made from, named at the foot of the paper; None for none.

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
        CouldNotSave: the disk refused.
    """
    from tankside.report.forms import case_foot, terminal_text, write_paper

    if pdf is not None:
        write_paper(document, pdf, "" if case is None else case_foot(case))
    answer(data, terminal_text(document), as_json=as_json)
    if pdf is not None:
        note(f"Written: {pdf}")
