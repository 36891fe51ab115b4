"""``tankside bench plan``: a plan for a site of many tanks against one for one tank."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer


def command(
    tanks: Annotated[int, typer.Option(help="how many tanks the site has")] = 60,
    groups: Annotated[int, typer.Option(help="how many groups of fish live in them")] = 21,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Plan for an invented site that follows a course; compare with one tank that does the same."""
    from pathlib import Path
    from tempfile import TemporaryDirectory

    from tankside.bench.plan_site import Site
    from tankside.bench.plan_speed import measure

    with TemporaryDirectory() as folder:
        times = measure(Path(folder), Site(tanks, groups))
    site_s, alone_s = times["site_s"], times["one_tank_s"]
    figures = [
        {
            "name": "site_s",
            "value": site_s,
            "unit": "s",
            "reference": "a plan for one tank with one group",
            "ratio": site_s / alone_s,
        },
        {"name": "one_tank_s", "value": alone_s, "unit": "s", "reference": "", "ratio": None},
    ]
    text = (
        f"A plan for {tanks} tanks with {groups} groups: {site_s:.2f} s\n"
        f"For one tank with one group: {alone_s:.2f} s; {site_s / alone_s:.1f} times that"
    )
    answer({"figures": figures}, text, as_json=as_json)
