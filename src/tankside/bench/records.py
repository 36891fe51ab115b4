"""``tankside bench records``: a journal of many cases, beside plain SQL for the same questions."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer


def command(
    cases: Annotated[int, typer.Option(min=200, help="how many cases the journal has")] = 10_000,
    entries: Annotated[int, typer.Option(min=8, help="entries of each case")] = 20,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """List, search, due list, opening a case, verify and memory over an invented journal."""
    from pathlib import Path
    from tempfile import TemporaryDirectory

    from tankside.bench.records_speed import measure

    with TemporaryDirectory() as folder:
        figures = measure(Path(folder), cases, entries)
    text = [f"{figure.name}: {figure.words}" for figure in figures]
    answer({"figures": [f.as_json() for f in figures]}, "\n".join(text), as_json=as_json)
