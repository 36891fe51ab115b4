"""``tankside knowledge``: look up cited facts, their rivals and sources; check the files."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from tankside.terminal.output import answer

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tankside.present.blocks import Document

FAULTS_FOUND = 2

app = typer.Typer(rich_markup_mode=None, no_args_is_help=True)

Key = Annotated[str, typer.Argument(metavar="KEY", help="e.g. agent.formalin.dose.bath")]
Practice = Annotated[
    str | None,
    typer.Option(
        help="folder of this practice's own knowledge (default: the variable TANKSIDE_PRACTICE, "
        "else practice in your data folder)"
    ),
]
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]


@app.callback()
def knowledge() -> None:
    """The cited facts and their sources."""


@app.command("lint")
def lint_command(
    folder: Annotated[str | None, typer.Option(help="another data folder")] = None,
    practice: Practice = None,
    as_json: Json = False,
) -> None:
    """Run the house checks over the knowledge files; exit code 2 when a fault is found.

    What this practice added is checked too, beside what was released; with --practice it alone.
    """
    from tankside.report.knowledge import problems_document, problems_json
    from tankside.services.knowledge import lint_base
    from tankside.services.practice_added import has_practice, lint_practice

    problems = () if practice else lint_base(folder)
    if practice or (folder is None and has_practice()):
        problems = (*problems, *lint_practice(practice))
    _tell(problems_json(problems), problems_document(problems), as_json=as_json)
    if problems:
        raise typer.Exit(FAULTS_FOUND)


@app.command("show")
def show_command(key: Key, as_json: Json = False) -> None:
    """Show a claim, a whole subject (agent.formalin) or a source."""
    from tankside.report.knowledge import look_up_document, look_up_json
    from tankside.services.knowledge import look_up

    entry = look_up(key)
    _tell(look_up_json(entry), look_up_document(entry), as_json=as_json)


@app.command("kinds")
def kinds_command(
    word: Annotated[str, typer.Argument(metavar="[WORD]", help="part of a name")] = "",
    as_json: Json = False,
) -> None:
    """List the kinds of animals and plants on file, with the names that are taken for them."""
    from tankside.report.knowledge import kinds_document, kinds_json
    from tankside.services.knowledge import kinds

    listed = kinds(word)
    _tell(kinds_json(listed), kinds_document(listed), as_json=as_json)


@app.command("practice")
def practice_command(practice: Practice = None, as_json: Json = False) -> None:
    """List what this practice added: whether it holds, and what was released beside it."""
    from tankside.report.practice import practice_document, practice_json
    from tankside.services.practice_added import practice as added

    answer_given = added(practice)
    _tell(practice_json(answer_given), practice_document(answer_given), as_json=as_json)


@app.command("rivals")
def rivals_command(key: Key, as_json: Json = False) -> None:
    """Show the claims that stand side by side, the default and why it is."""
    from tankside.report.knowledge import rivals_document, rivals_json
    from tankside.services.knowledge import rivals

    side_by_side = rivals(key)
    _tell(rivals_json(side_by_side), rivals_document(side_by_side), as_json=as_json)


@app.command("sources")
def sources_command(
    summary: Annotated[bool, typer.Option("--summary", help="only the counts")] = False,
    as_json: Json = False,
) -> None:
    """List the works and how many claims cite each."""
    from tankside.report.knowledge import counts_document, sources_document, sources_json
    from tankside.services.knowledge import counts, sources

    if summary:
        numbers = counts()
        _tell(dict(numbers), counts_document(numbers), as_json=as_json)
    else:
        register = sources()
        _tell(sources_json(register), sources_document(register), as_json=as_json)


@app.command("reference")
def reference_command(
    folder: Annotated[str, typer.Argument(metavar="FOLDER", help="where the pages go")],
    as_json: Json = False,
) -> None:
    """Write the reference pages: every claim, every source, the counts."""
    from tankside.services.knowledge import write_pages

    names = write_pages(folder)
    answer({"written": list(names)}, f"Written to {folder}: {', '.join(names)}", as_json=as_json)


def _tell(content: Mapping[str, object], document: Document, *, as_json: bool) -> None:
    from tankside.present.block_text import document_text

    answer(content, document_text(document), as_json=as_json)
