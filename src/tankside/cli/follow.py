"""``tankside follow``: counts come back; what is left, does it fit, may a stop be discussed."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.door import answer
from tankside.cli.progress import teller


def command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="the case file")],
    on: Annotated[
        str | None, typer.Option(help="day it is asked on (default: latest of the case)")
    ] = None,
    organism: Annotated[str | None, typer.Option(help="parasite, when the case names none")] = None,
    seed: Annotated[int | None, typer.Option(help="of chance (default: from the case)")] = None,
    json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Hold the counts against the course: what is believed there, the date to wait for, advice.

    Stopping is never advised; when the wait is over it may be discussed.
    """
    from tankside.services.follow import follow
    from tankside.services.follow_case import Query
    from tankside.services.follow_text import follow_json, follow_text

    found = follow(case, Query(on, organism, seed), progress=teller(quiet=json))
    answer(follow_json(found), follow_text(found), as_json=json)
