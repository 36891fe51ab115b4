"""``tankside bench course``: the hour-by-hour water of many courses against copying it."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer


def command(
    courses: Annotated[int, typer.Option(help="how many different courses")] = 500,
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Run different 60-day hourly courses of one tank; compare with copying the result arrays."""
    from tankside.bench.course_speed import measure
    from tankside.library import load

    times = measure(load(), courses)
    ratio = times["courses_s"] / times["copy_s"]
    figures = [
        {
            "name": "courses_s",
            "value": times["courses_s"],
            "unit": "s",
            "reference": "numpy copy of the result arrays",
            "ratio": ratio,
        },
        {"name": "copy_s", "value": times["copy_s"], "unit": "s", "reference": "", "ratio": None},
    ]
    text = (
        f"{courses} courses of 60 days: {times['courses_s']:.2f} s, "
        f"{times['courses_s'] / courses * 1e3:.1f} ms each\n"
        f"Copying their arrays ({times['megabytes']:.0f} MB): {times['copy_s']:.3f} s; "
        f"{ratio:.0f} times that"
    )
    answer({"figures": figures}, text, as_json=as_json)
