"""``tankside bench spread``: what printed experiments together say of the spread of a parasite."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer

ORGANISMS = ("ichthyophthirius_multifiliis", "cryptocaryon_irritans")


def command(
    organism: Annotated[str, typer.Option(help="one organism; both where left out")] = "",
    leave_out: Annotated[bool, typer.Option(help="fit again without each paper")] = False,
    write: Annotated[bool, typer.Option(help="write the tables into the knowledge files")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Fit the spread of white spot to its calibration papers; say which rows are met."""
    from tankside.bench.spread_answer import fitted, write_table

    fits = [fitted(name, leave_out=leave_out) for name in ORGANISMS if organism in ("", name)]
    for fit in fits if write else ():
        write_table(fit)
    answer(
        {"fits": [fit.as_json() for fit in fits]},
        "\n\n".join("\n".join(fit.lines()) for fit in fits),
        as_json=as_json,
    )
