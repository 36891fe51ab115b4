"""The help of every command as one page: ``python -m tankside.cli.reference > docs/cli.md``.

A test compares the page in the docs with this, so the two cannot drift apart.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import typer

from tankside.cli.main import app

WIDTH = 88
LEAD = """# The command line

This page is written by `python -m tankside.cli.reference`; a test holds it to the program.
The JSON that `--json` prints is described in [json.md](json.md).

Exit codes: 0 done, 2 bad input, 3 not possible, 5 could not save.
"""


def reference() -> str:
    """Return the page."""
    group = typer.main.get_command(app)
    parts = [f"## `{path}`\n\n```text\n{text}\n```\n" for path, text in helps(group, "tankside")]
    return "\n".join([LEAD, *parts])


def helps(command: Any, path: str, parent: Any = None) -> Iterator[tuple[str, str]]:  # noqa: ANN401 (the framework has no public type)
    """Give the path and the help of a command and of everything below it."""
    name = path.rsplit(" ", 1)[-1]
    context = command.make_context(
        name, [], parent=parent, resilient_parsing=True, terminal_width=WIDTH
    )
    yield path, "\n".join(line.rstrip() for line in command.get_help(context).split("\n")).strip()
    if hasattr(command, "list_commands"):
        for below in command.list_commands(context):
            subcommand = command.get_command(context, below)
            yield from helps(subcommand, f"{path} {below}", context)


if __name__ == "__main__":
    print(reference(), end="")
