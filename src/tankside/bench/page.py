"""``tankside bench page``: how fast and how large the pages of the workbench are."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer


def command(
    cases: Annotated[int, typer.Option(help="how many cases the journal holds")] = 10000,
    rounds: Annotated[int, typer.Option(help="how often each page is asked for")] = 20,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Ask a real server for its pages while courses are compared; within which time 95 % come."""
    from tankside.bench.page_speed import REFERENCE, measure

    figures = measure(cases, rounds)
    least = next(figure.value for figure in figures if figure.name == REFERENCE)
    rows = [
        {
            "name": figure.name,
            "value": figure.value,
            "unit": figure.unit,
            "reference": REFERENCE if figure.unit == "s" and figure.name != REFERENCE else "",
            "ratio": figure.value / least
            if figure.unit == "s" and figure.name != REFERENCE
            else None,
        }
        for figure in figures
    ]
    text = [
        f"{figure.name}: {figure.value:.3f} s, {figure.value / least:.1f} times the {REFERENCE}"
        if figure.unit == "s"
        else f"{figure.name}: {figure.value:.0f} kB"
        for figure in figures
    ]
    answer({"figures": rows}, "\n".join(text), as_json=as_json)
