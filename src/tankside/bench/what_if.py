"""``tankside bench what-if``: how soon the invented tank of the teaching pages answers."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer


def command(
    rounds: Annotated[int, typer.Option(help="how often each setting is played")] = 5,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Play the invented tank roughly and finely, over the corners of its sliders; slowest told."""
    from tankside.bench.what_if_speed import ALLOWED_S, measure

    figures = measure(rounds)
    rows = [
        {"name": f.name, "value": f.seconds, "unit": "s", "processor_s": f.processor_s,
         "setting": f.setting, "allowed_s": ALLOWED_S[f.name]}
        for f in figures
    ]  # fmt: skip
    text = [
        f"{f.name}: {f.seconds:.2f} s of the clock, {f.processor_s:.2f} s of the processors "
        f"(slowest: {f.setting}); {ALLOWED_S[f.name]:g} s allowed on two idle cores"
        for f in figures
    ]
    answer({"figures": rows}, "\n".join(text), as_json=as_json)
