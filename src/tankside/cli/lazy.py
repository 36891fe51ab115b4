"""A command group that imports a command only when it is called.

``--help`` of the group is written from the table alone. A command whose module is not there yet
is absent from the help and answers "not built yet" with exit code 3. The framework's own context
and command classes have no public name, so they are typed as anything.
"""

from __future__ import annotations

import importlib
import importlib.util
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

import typer
from typer.core import TyperGroup

from tankside.errors import BadInput, Mistake, NotPossible
from tankside.terminal.output import JSON_FLAG, report

STOPPED_BY_USER = 130


@dataclass(frozen=True, slots=True)
class Entry:
    """One row of a command table: where the command lives and what it is for.

    The module exposes ``app`` (a ``typer.Typer``) or ``command`` (one function).
    """

    module: str
    summary: str

    @property
    def built(self) -> bool:
        """Whether the module exists; only the packages around it are imported to find out."""
        try:
            return importlib.util.find_spec(self.module) is not None
        except ModuleNotFoundError:
            return False


class LazyGroup(TyperGroup):
    """A group whose commands come from ``table``; subclasses set it."""

    table: ClassVar[Mapping[str, Entry]] = {}

    def list_commands(self, ctx: Any) -> list[str]:  # noqa: ANN401 (as in the framework)
        """Name the commands that are built, in table order."""
        return [name for name, entry in self.table.items() if entry.built]

    def get_command(
        self,
        ctx: Any,  # noqa: ANN401 (as in the framework)
        cmd_name: str,
    ) -> Any:  # noqa: ANN401 (as in the framework)
        """Import and return one command.

        Raises:
            NotPossible: E-CLI-03 when it is planned but not built.
        """
        entry = self.table.get(cmd_name)
        if entry is None:
            return None
        if not entry.built:
            raise NotPossible(
                "E-CLI-03",
                f"'{cmd_name}' is not built yet.",
                given=cmd_name,
                needed="a command listed by --help",
                next_step="Run tankside --help to see what is there.",
            )
        return load_command(cmd_name, entry)

    def format_commands(
        self,
        ctx: Any,  # noqa: ANN401 (as in the framework)
        formatter: Any,  # noqa: ANN401 (as in the framework)
    ) -> None:
        """Write the list of commands without importing any of them."""
        rows = [(name, self.table[name].summary) for name in self.list_commands(ctx)]
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
        sys.exit(code if isinstance(code, int) else 0)


def load_command(name: str, entry: Entry) -> Any:  # noqa: ANN401 (as in the framework)
    """Import the module of an entry and return its command under ``name``."""
    module = importlib.import_module(entry.module)
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
