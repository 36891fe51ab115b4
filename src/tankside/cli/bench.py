"""``tankside bench NAME``: one measurement a module."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

import typer

from tankside.cli.lazy import Entry, LazyGroup


class Measurements(LazyGroup):
    """The measurements; each module exposes ``command``."""

    table: ClassVar[Mapping[str, Entry]] = {
        "rank": Entry("tankside.bench.rank", "how well the differential ranks known cases"),
        "kernel": Entry("tankside.bench.kernel", "speed of the life-cycle kernel"),
        "course": Entry("tankside.bench.course", "speed of the hour-by-hour water of a course"),
    }


app = typer.Typer(cls=Measurements, rich_markup_mode=None, no_args_is_help=True)


@app.callback()
def bench() -> None:
    """Measure the program."""
