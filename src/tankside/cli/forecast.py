"""``tankside forecast``: the chosen course and no treatment, day by day."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.door import answer
from tankside.cli.progress import teller


def command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="the case file")],
    organism: Annotated[str | None, typer.Option(help="parasite, when the case names none")] = None,
    seed: Annotated[int | None, typer.Option(help="of chance (default: from the case)")] = None,
    json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Foretell the chosen course and no treatment: windows, spots, what is clear, day by day."""
    from tankside.services.forecast import Question, forecast
    from tankside.services.forecast_text import forecast_json, forecast_text

    found = forecast(case, Question(organism, seed), progress=teller(quiet=json))
    answer(forecast_json(found), forecast_text(found), as_json=json)
