"""``tankside bench commands``: what whole commands take, beside an empty start of Python."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer


def command(
    rounds: Annotated[int, typer.Option(help="how often each command is run")] = 5,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Run differential, case add, dose and today as typed; compare with an empty start."""
    from tankside.bench.command_speed import EMPTY, measure

    times = measure(rounds)
    figures = [
        {
            "name": name,
            "value": seconds,
            "unit": "s",
            "reference": "" if name == EMPTY else EMPTY,
            "ratio": None if name == EMPTY else seconds / times[EMPTY],
        }
        for name, seconds in times.items()
    ]
    text = [
        f"{name}: {seconds:.3f} s of processor time, {seconds / times[EMPTY]:.1f} empty starts"
        for name, seconds in times.items()
    ]
    answer({"figures": figures}, "\n".join(text), as_json=as_json)
