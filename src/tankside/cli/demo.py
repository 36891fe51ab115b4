"""``tankside demo``: the whole job on an invented case, told in the terminal."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import JSON_FLAG, as_line

OUT = "demo-out"


def command(
    out: Annotated[str, typer.Option(help="folder for its files")] = OUT,
    story: Annotated[
        bool, typer.Option("--story", help="tell it scene by scene, with every answer")
    ] = False,
    json: Annotated[bool, typer.Option(JSON_FLAG, help="print one JSON object")] = False,
) -> None:
    """Tell an invented case from the first call to the all-clear, and write its files.

    Case file, day cards (PDF, text), calendar, figures (SVG) and every answer as JSON. Each
    number is worked out while it runs. A telling before it in the same folder is replaced.
    """
    from tankside.demo.story import Length, tell_story

    as_told = tell_story(out, Length.NOTHING if json else Length.WHOLE if story else Length.BRIEF)
    if json:
        print(as_line(as_told))
