"""Find a case by its bare file name among the files of the folder, and nowhere else."""

from __future__ import annotations

from pathlib import Path

from fastapi import Request

from tankside.errors import BadInput

ENDING = "*.jsonl"


def find_case(request: Request, file: str) -> Path:
    """Return the path of a case of the folder.

    Raises:
        BadInput: E-PATH-02 when the folder lists no such file.
    """
    folder: Path = request.app.state.folder
    for path in folder.glob(ENDING):
        if path.name == file:
            return path
    raise BadInput(
        "E-PATH-02",
        "There is no such case in this folder.",
        given=file,
        needed="a case of the list",
        next_step="Go back to the cases.",
    )
