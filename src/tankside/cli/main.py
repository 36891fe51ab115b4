"""The table of commands: ``tankside --help`` reads it, nothing else is imported."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.lazy import LazyGroup, own

COMMANDS = {
    "demo": own("demo", "the whole job on an invented case, told in the terminal"),
    "serve": own("serve", "the web workbench, on this machine only"),
    "case": own("case", "new, add, show, list, import, export"),
    "records": own("records", "many cases in one journal: import, export, verify, backup, restore"),
    "findings": own("findings", "the signs that can be entered, and their answers"),
    "differential": own("differential", "what fits, and what to look at next"),
    "plan": own("plan", "compare courses; choose one"),
    "today": own("today", "the day card: text, PDF, calendar"),
    "forecast": own("forecast", "with the chosen course and without treatment"),
    "follow": own("follow", "counts in; may we stop?"),
    "letter": own("letter", "all-clear, sheet for a laboratory, quarantine"),
    "dose": own("dose", "one amount, shown with its sum"),
    "water": own("water", "one water calculation, with formula and source"),
    "knowledge": own("knowledge", "the cited facts and their sources"),
    "sheet": own("sheet", "teaching sheets: life cycles, look-alikes, for keepers"),
    "bench": own("bench", "measure the program"),
    "completion": own("completion", "what a shell needs to complete commands"),
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


def _print_version(asked: bool) -> None:
    if asked:
        from importlib.metadata import version

        print(f"tankside {version('tankside')}")
        raise typer.Exit


@app.callback()
def tankside(
    version: Annotated[
        bool,
        typer.Option("--version", is_eager=True, callback=_print_version, help="print it and stop"),
    ] = False,
) -> None:
    """A case workbench for ornamental-fish health, from first signs to an all-clear.

    It shows options and what speaks for and against each. It does not replace a licensed
    veterinarian, and it is not an alarm.
    """
