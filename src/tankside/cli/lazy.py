"""A command group that imports a command only when it is called.

``--help`` of the group is written from the table alone. The framework's own context and command
classes have no public name, so they are typed as anything.
"""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from difflib import get_close_matches
from errno import EPIPE
from functools import cache, partial
from io import TextIOWrapper
from types import ModuleType
from typing import Any, ClassVar

import typer
from typer._completion_classes import completion_init
from typer.core import TyperGroup

from tankside.errors import BadInput, CouldNotSave, Mistake
from tankside.terminal.output import JSON_FLAG, report

STOPPED_BY_USER = 130
OUTPUT_CLOSED = 1


@dataclass(frozen=True, slots=True)
class Entry:
    """One row of a command table: what loads the command, and what it is for.

    The module that ``load`` returns exposes ``app`` (a ``typer.Typer``) or ``command`` (one
    function). It is imported when the command is called, not before.
    """

    load: Callable[[], ModuleType]
    summary: str


def own(name: str, summary: str) -> Entry:
    """Return the row of a command that lives in this room, by the name of its module."""
    return Entry(partial(importlib.import_module, f"tankside.cli.{name}"), summary)


class LazyGroup(TyperGroup):
    """A group whose commands come from ``table``; subclasses set it."""

    table: ClassVar[Mapping[str, Entry]] = {}

    def list_commands(self, ctx: Any) -> list[str]:  # noqa: ANN401 (as in the framework)
        """Name the commands in table order."""
        return list(self.table)

    def get_command(
        self,
        ctx: Any,  # noqa: ANN401 (as in the framework)
        cmd_name: str,
    ) -> Any:  # noqa: ANN401 (as in the framework)
        """Import and return one command; None when the table has no such name."""
        entry = self.table.get(cmd_name)
        return None if entry is None else load_command(cmd_name, entry)

    def resolve_command(
        self,
        ctx: Any,  # noqa: ANN401 (as in the framework)
        args: list[str],
    ) -> Any:  # noqa: ANN401 (as in the framework)
        """Return the command that is meant; name the nearest ones where there is none.

        Raises:
            BadInput: E-CLI-01 no command is called so.
        """
        typed = args[0] if args else ""
        if typed in self.table or typed.startswith("-") or ctx.resilient_parsing:
            return super().resolve_command(ctx, args)
        near = get_close_matches(typed, self.table)
        raise BadInput(
            "E-CLI-01",
            "There is no such command.",
            given=typed,
            needed=f"perhaps {' or '.join(near)}" if near else f"one of: {', '.join(self.table)}",
            next_step=f"Run {ctx.command_path} --help for the list.",
        )

    def format_commands(
        self,
        ctx: Any,  # noqa: ANN401 (as in the framework)
        formatter: Any,  # noqa: ANN401 (as in the framework)
    ) -> None:
        """Write the list of commands without importing any of them."""
        rows = [(name, entry.summary) for name, entry in self.table.items()]
        with formatter.section("Commands"):
            formatter.write_dl(rows)

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        windows_expand_args: bool = True,
        **extra: Any,  # noqa: ANN401 (as in the framework)
    ) -> Any:  # noqa: ANN401 (as in the framework)
        """Run a command; turn a mistake into words or JSON and into its exit code."""
        words = list(sys.argv[1:] if args is None else args)
        as_json = JSON_FLAG in words
        _print_any_script()
        if any(name.endswith("_COMPLETE") for name in os.environ):
            completion_init()
        try:
            code = super().main(
                args, prog_name, complete_var, not as_json, windows_expand_args, **extra
            )
        except Mistake as mistake:
            code = report(mistake, as_json=as_json)
        except typer.TyperException as usage:
            code = report(_as_mistake(usage, words), as_json=as_json)
        except typer.Abort:
            code = STOPPED_BY_USER
        except OSError as refused:
            code = _refused_by_system(refused, as_json=as_json)
        sys.exit(code if isinstance(code, int) else 0)


def _refused_by_system(refused: OSError, *, as_json: bool) -> int:
    """Say on standard error what the system refused; output that is closed is left in silence.

    Standard output may be what refused, so that nothing more is written to it.
    """
    if refused.errno != EPIPE:
        mistake = CouldNotSave(
            "E-DB-04",
            "The system refused a file, a folder or the output.",
            given=f"{refused.filename or 'the output'}: {refused.strerror or refused}",
            needed="a name that the system takes, and room for what is written",
            next_step="Correct the name or make room. Look at the case before doing it again: "
            "it may have been saved and only the answer not printed.",
            field="file",
        )
        report(mistake, as_json=as_json and refused.filename is not None)
    with suppress(OSError, ValueError):
        # Nothing is left to be written when the interpreter ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return CouldNotSave.exit_code if refused.errno != EPIPE else OUTPUT_CLOSED


def _print_any_script() -> None:
    """Print UTF-8 into pipes and files; a terminal shows a stand-in for a sign that it lacks."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            shown = stream.encoding if stream.isatty() else "utf-8"
            stream.reconfigure(encoding=shown, errors="backslashreplace")


@cache  # reading every option's type again is most of a short command's time
def load_command(name: str, entry: Entry) -> Any:  # noqa: ANN401 (as in the framework)
    """Import the module of an entry and return its command under ``name``."""
    module = entry.load()
    app = getattr(module, "app", None)
    if app is None:
        app = typer.Typer(add_completion=False, rich_markup_mode=None)
        app.command(name)(module.command)
    app.rich_markup_mode = None
    app._add_completion = False
    command = typer.main.get_command(app)
    command.name = name
    return command


def _as_mistake(usage: typer.TyperException, words: Sequence[str]) -> BadInput:
    return BadInput(
        "E-CLI-01",
        usage.format_message(),
        given=" ".join(words),
        needed="the words and options that --help lists",
        next_step="Run the command with --help.",
    )
