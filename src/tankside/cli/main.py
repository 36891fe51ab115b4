"""The table of commands: ``tankside --help`` reads it, nothing else is imported."""

from __future__ import annotations

import typer

from tankside.cli.lazy import Entry, LazyGroup

COMMANDS = {
    "demo": Entry("tankside.cli.demo", "the whole job on an invented case, told in the terminal"),
    "serve": Entry("tankside.cli.serve", "the web workbench, on this machine only"),
    "case": Entry("tankside.cli.case", "new, add, show, list, import, export"),
    "differential": Entry("tankside.cli.differential", "what fits, and what to look at next"),
    "plan": Entry("tankside.cli.plan", "compare courses; choose one"),
    "today": Entry("tankside.cli.today", "the day card: text, PDF, calendar"),
    "forecast": Entry("tankside.cli.forecast", "with the chosen course and without treatment"),
    "follow": Entry("tankside.cli.follow", "counts in; may we stop?"),
    "dose": Entry("tankside.cli.dose", "one amount, shown with its sum"),
    "water": Entry("tankside.cli.water", "one water calculation, with formula and source"),
    "knowledge": Entry("tankside.cli.knowledge", "the cited facts and their sources"),
    "bench": Entry("tankside.cli.bench", "measure the program"),
}


class Commands(LazyGroup):
    """The commands of ``tankside``."""

    table = COMMANDS


app = typer.Typer(
    cls=Commands,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    epilog="Exit codes: 0 done, 2 bad input, 3 not possible, 5 could not save. "
    "Every command has --help and --json.",
)


@app.callback()
def tankside() -> None:
    """A case workbench for ornamental-fish health, from first signs to an all-clear.

    It shows options and what speaks for and against each. It does not replace a licensed
    veterinarian, and it is not an alarm.
    """
