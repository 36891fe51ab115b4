"""``tankside knowledge``: look up cited facts, their rivals and sources; check the files."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from tankside.terminal.output import answer

if TYPE_CHECKING:
    from tankside.services.knowledge import Answer

FAULTS_FOUND = 2

app = typer.Typer(rich_markup_mode=None, no_args_is_help=True)

Key = Annotated[str, typer.Argument(metavar="KEY", help="e.g. agent.formalin.dose.bath")]
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]


@app.callback()
def knowledge() -> None:
    """The cited facts and their sources."""


@app.command("lint")
def lint_command(
    folder: Annotated[str | None, typer.Option(help="another data folder")] = None,
    as_json: Json = False,
) -> None:
    """Run the house checks over the knowledge files; exit code 2 when a fault is found."""
    from tankside.services.knowledge import lint_base

    _tell(lint_base(folder), as_json=as_json)


@app.command("show")
def show_command(key: Key, as_json: Json = False) -> None:
    """Show a claim, a whole subject (agent.formalin) or a source."""
    from tankside.services.knowledge import show

    _tell(show(key), as_json=as_json)


@app.command("rivals")
def rivals_command(key: Key, as_json: Json = False) -> None:
    """Show the claims that stand side by side, the default and why it is."""
    from tankside.services.knowledge import rivals

    _tell(rivals(key), as_json=as_json)


@app.command("sources")
def sources_command(
    summary: Annotated[bool, typer.Option("--summary", help="only the counts")] = False,
    as_json: Json = False,
) -> None:
    """List the works and how many claims cite each."""
    from tankside.services.knowledge import sources

    _tell(sources(only_summary=summary), as_json=as_json)


@app.command("reference")
def reference_command(
    folder: Annotated[str, typer.Argument(metavar="FOLDER", help="where the pages go")],
    as_json: Json = False,
) -> None:
    """Write the reference pages: every claim, every source, the counts."""
    from tankside.services.knowledge import reference

    _tell(reference(folder), as_json=as_json)


def _tell(found: Answer, *, as_json: bool) -> None:
    answer(found.object, found.text, as_json=as_json)
    if not found.good:
        raise typer.Exit(FAULTS_FOUND)
