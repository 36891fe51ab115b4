"""``tankside case``: open a case, add what was seen and done, show, list, import, export.

What may be typed after ``case add FILE`` is declared beside the kinds of entry in
``tankside.case``; the help of ``case add`` is made from there.
"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from tankside.case.described import OPENED
from tankside.case.typed_help import kinds_help
from tankside.cli import case_photos
from tankside.cli.account import Role, role_of, who_types
from tankside.cli.case_reference import CASE_HELP
from tankside.cli.word_offers import offered_words
from tankside.errors import BadInput
from tankside.terminal.output import answer

if TYPE_CHECKING:
    from tankside.services.saving import Added

app = typer.Typer(rich_markup_mode=None, no_args_is_help=True)
app.command("attach")(case_photos.attach)
app.command("photos")(case_photos.photos)

File = Annotated[
    str,
    typer.Argument(metavar="FILE", help=CASE_HELP),
]
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]
By = Annotated[str | None, typer.Option(help="who writes this (default: the user of this machine)")]

Seen = Annotated[
    int | None,
    typer.Option(
        help="version of the case that you saw; an amount, decision or correction is refused "
        "when it holds more"
    ),
]
Again = Annotated[
    bool, typer.Option("--again", help="it happened once more, just as it stands there")
]

ADD_HELP = f"""Add what was seen, measured, chosen or done; several findings or counts at once.

KIND and its words (values with blanks in quotes; behind = stands an example):

\b
{kinds_help()}

Every kind takes on=2026-03-04 or on=2026-03-04T18:30. Without it: now, or, in a
case typed in afterwards, the latest day entered so far. Leave out what was not asked;
? is "asked, keeper does not know", not-looked is not none. In place of a reading or
an amount in the water ? may stand. Several answers to a finding are separated by
commas; the first word of an answer will do (spot_size=grain), and so will names and
answers as printed ("Spot size=grains of 0.3 to 1 mm"). tankside findings lists them;
host= takes the kinds that tankside knowledge kinds lists.
"""
STDIN = "-"
_OPENING = {word.name: word.declared.help for word in OPENED.words}


@app.callback()
def case() -> None:
    """Keep a case: one illness in one system, as a list of dated entries in a plain file."""


def _tell(added: Added, *, as_json: bool, country: str | None = None) -> None:
    from tankside.case.kept_only import kept_in
    from tankside.report.case_text import line_text
    from tankside.report.case_words import saved_words
    from tankside.report.saved_json import added_json
    from tankside.report.saved_reply import REMARK, notes_of

    lines = [line_text(entry) for entry in added.new]
    lines += [f"NOTE {note}" for note in notes_of(added, country)]
    kept = [each for each in kept_in(added.new) if each.kind != REMARK]
    lines += [f"KEPT, not used by any answer: {each.words}" for each in kept]
    text = "\n".join(lines)
    saved = f"Saved in {saved_words(added.stored)}\n{text}"
    answer(added_json(added, country), saved, as_json=as_json)


@app.command("new")
def new(  # noqa: PLR0913 (one option for each answer)
    file: File,
    name: Annotated[str, typer.Option(help=_OPENING["name"])],
    keeper: Annotated[str, typer.Option(help=_OPENING["keeper"])],
    water: Annotated[str, typer.Option(help=_OPENING["water"])],
    zone: Annotated[str, typer.Option(help=_OPENING["zone"])],
    opened: Annotated[str | None, typer.Option(help="day or moment; left out: now")] = None,
    place: Annotated[str | None, typer.Option(help=_OPENING["place"])] = None,
    call: Annotated[str | None, typer.Option(help=_OPENING["call"])] = None,
    country: Annotated[str | None, typer.Option(help=_OPENING["country"])] = None,
    practitioner: Annotated[str | None, typer.Option(help=_OPENING["practitioner"])] = None,
    by: By = None,
    role: Role = None,
    json: Json = False,
) -> None:
    """Open a case and write its file."""
    from tankside.services.cases import Opening, new_case

    opening = Opening(name, keeper, water, zone, opened, place, call, country, practitioner)
    added = new_case(file, opening, by=who_types(by), role=role_of(role))
    _tell(added, as_json=json, country=country)


@app.command("add", help=ADD_HELP)
def add(  # noqa: PLR0913 (one option for each answer)
    file: File,
    words: Annotated[
        list[str] | None,
        typer.Argument(metavar="[KIND] [WORDS]...", autocompletion=offered_words),
    ] = None,
    source: Annotated[
        str | None, typer.Option("--from", help="a .csv, .json or .jsonl file; - for typed lines")
    ] = None,
    correct: Annotated[
        int | None,
        typer.Option(help="number of the entry this replaces; the opening: 1 and opened KEY=VALUE"),
    ] = None,
    void: Annotated[int | None, typer.Option(help="number of the entry to take back")] = None,
    reason: Annotated[str | None, typer.Option(help="why it is corrected")] = None,
    seen: Seen = None,
    again: Again = False,
    by: By = None,
    role: Role = None,
    json: Json = False,
) -> None:
    """Add entries to a case."""
    from tankside.services import case_import, cases
    from tankside.services.saving import Sent

    sent = Sent(seen, role=role_of(role), again=again)
    kind, typed = (words[0], words[1:]) if words else (None, [])
    writer = who_types(by)
    if correct is not None or void is not None:
        of = _corrected(correct, void, kind, reason)
        added = cases.correct(file, of, kind, typed, reason=reason or "", by=writer, sent=sent)
    elif source == STDIN and kind is None:
        lines = sys.stdin.buffer.read()
        added = case_import.add_from_lines(file, lines, by=writer, sent=sent)
    elif source is not None:
        added = case_import.add_from_file(file, source, kind=kind, by=writer, sent=sent)
    elif kind is None:
        raise _usage("Say what is added.", "a KIND and its words, or --from FILE")
    else:
        added = cases.add_words(file, kind, typed, by=writer, sent=sent)
    _tell(added, as_json=json)


@app.command("write")
def write(file: File, by: By = None, role: Role = None, json: Json = False) -> None:
    """Add one thing after another: type KIND and its words, line by line; an empty line ends it.

    Each line is saved by itself, and answered; a line that is refused says why, and nothing of it
    is kept. For all lines or none: case add FILE --from -
    """
    from tankside.cli.case_lines import asked_lines, write_lines
    from tankside.services import cases
    from tankside.services.saving import Sent

    sent, writer = Sent(None, role=role_of(role)), who_types(by)

    def add_line(words: list[str]) -> None:
        added = cases.add_words(file, words[0], words[1:], by=writer, sent=sent)
        _tell(added, as_json=json)

    code = write_lines(asked_lines(), add_line, as_json=json)
    if code:
        raise typer.Exit(code)


def _corrected(correct: int | None, void: int | None, kind: str | None, reason: str | None) -> int:
    if not reason:
        raise _usage("A correction needs its reason.", "--reason TEXT")
    if correct is not None and void is None and kind is not None:
        return correct
    if void is not None and correct is None and kind is None:
        return void
    raise _usage("Replace an entry, or take it back.", "--correct N KIND WORDS, or --void N alone")


def _usage(message: str, needed: str) -> BadInput:
    next_step = "See tankside case add --help; nothing was saved."
    return BadInput("E-CLI-01", message, needed=needed, next_step=next_step)


@app.command("show")
def show(
    file: File,
    history: Annotated[bool, typer.Option("--history", help="list every entry too")] = False,
    json: Json = False,
) -> None:
    """Show what the case says now, and what was not asked yet."""
    from tankside.present.block_text import document_text
    from tankside.report.case_show import case_document, case_json
    from tankside.report.page import open_case

    shown = open_case(file)
    text = document_text(case_document(shown, history=history))
    answer(case_json(shown), text, as_json=json)


@app.command("list")
def list_command(
    folder: Annotated[str, typer.Argument(help="where the case files are")] = ".",
    json: Json = False,
) -> None:
    """List the cases of a folder."""
    from tankside.report.case_list import list_json, list_text
    from tankside.services.case_list import list_cases

    listed = list_cases(folder)
    answer(list_json(listed), list_text(listed), as_json=json)


@app.command("import")
def import_command(
    source: Annotated[str, typer.Argument(metavar="SOURCE", help="a case file to check and take")],
    file: File,
    json: Json = False,
) -> None:
    """Check a case file line by line and write it as a new case; a broken line refuses it all."""
    from tankside.report.case_words import saved_json, saved_words
    from tankside.services.case_copies import import_case

    stored = import_case(source, file)
    result = {**saved_json(stored), "version": stored.version}
    answer(result, f"Saved in {saved_words(stored)}: {stored.version} entries", as_json=json)


@app.command("export")
def export(
    file: File,
    to: Annotated[str | None, typer.Option(help="file to write (default: print)")] = None,
    json: Json = False,
) -> None:
    """Write the case in its one canonical spelling."""
    from tankside.services.case_copies import export_to
    from tankside.services.cases import export_case

    if to is not None:
        place = export_to(file, to)
        answer({"file": str(place)}, f"Saved in {place}", as_json=json)
    elif json:
        lines = export_case(file).decode("utf-8").splitlines()
        answer({"lines": lines}, "", as_json=True)
    else:
        sys.stdout.buffer.write(export_case(file))
