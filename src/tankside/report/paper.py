"""Write any answer about a case to a file as paper."""

from __future__ import annotations

from pathlib import Path

from tankside.case import CaseView
from tankside.present.blocks import Document
from tankside.present.document_pdf import as_pdf
from tankside.records.case_file import write_whole


def write_paper(document: Document, target: str | Path, view: CaseView) -> None:
    """Write an answer as a PDF; its foot says up to which entry of the case it goes.

    Args:
        document: the answer.
        target: file to write.
        view: the case it was made from.

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
        CouldNotSave: the disk refused; nothing was written.
    """
    foot = f"Made from case entry {view.version}."
    write_whole(Path(target), as_pdf(document, foot))
