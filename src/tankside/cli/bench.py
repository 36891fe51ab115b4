"""``tankside bench NAME``: one measurement a module."""

from __future__ import annotations

from collections.abc import Mapping
from types import ModuleType
from typing import ClassVar

import typer

from tankside.cli.lazy import Entry, LazyGroup


def _rank() -> ModuleType:
    from tankside.bench import rank

    return rank


def _kernel() -> ModuleType:
    from tankside.bench import kernel

    return kernel


def _course() -> ModuleType:
    from tankside.bench import course

    return course


def _commands() -> ModuleType:
    from tankside.bench import commands

    return commands


def _plan() -> ModuleType:
    from tankside.bench import plan

    return plan


def _records() -> ModuleType:
    from tankside.bench import records

    return records


def _page() -> ModuleType:
    from tankside.bench import page

    return page


def _what_if() -> ModuleType:
    from tankside.bench import what_if

    return what_if


class Measurements(LazyGroup):
    """The measurements; each module exposes ``command``."""

    table: ClassVar[Mapping[str, Entry]] = {
        "rank": Entry(_rank, "how well the differential ranks known cases"),
        "kernel": Entry(_kernel, "speed of the life-cycle kernel"),
        "course": Entry(_course, "speed of the hour-by-hour water of a course"),
        "commands": Entry(_commands, "processor time of whole commands"),
        "records": Entry(_records, "a journal of many cases, beside plain SQL"),
        "plan": Entry(_plan, "speed of a plan for a site of many tanks"),
        "page": Entry(_page, "speed and size of the pages of the workbench"),
        "what-if": Entry(_what_if, "speed of the invented tank of the teaching pages"),
    }


app = typer.Typer(cls=Measurements, rich_markup_mode=None, no_args_is_help=True)


@app.callback()
def bench() -> None:
    """Measure the program."""
