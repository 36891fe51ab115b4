"""``tankside records``: the journal as a whole, which keeps many cases in one database."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.terminal.output import answer

app = typer.Typer(rich_markup_mode=None, no_args_is_help=True)

JOURNAL_HELP = (
    "a file, or postgresql://USER@HOST/DATABASE "
    "(default: the variable TANKSIDE_JOURNAL, else journal.db in your data folder)"
)
Journal = Annotated[str | None, typer.Option(help=JOURNAL_HELP)]
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]
NOT_DONE = 2
BROKEN = 3


@app.callback()
def records() -> None:
    """Keep many cases in a journal: a database to which entries are only ever added.

    Wherever a command takes a case file it also takes a case of the journal: its number, its
    short name or its name. A path ends in .jsonl or holds a slash.
    """


@app.command("list")
def list_command(journal: Journal = None, json: Json = False) -> None:
    """List the cases of the journal."""
    from tankside.report.records_text import list_json, list_text
    from tankside.services.records import list_journal

    cases = list_journal(journal)
    answer(list_json(cases), list_text(cases), as_json=json)


@app.command("search")
def search(
    words: Annotated[list[str], typer.Argument(help="names, a keeper, a tank, an agent, ...")],
    journal: Journal = None,
    json: Json = False,
) -> None:
    """Search the cases: every word must fit; Latin and old names and slips of the pen will do."""
    from tankside.report.records_text import found_text, list_json
    from tankside.services.records_lookup import search_cases

    cases = search_cases(" ".join(words), journal)
    answer(list_json(cases), found_text(cases), as_json=json)


@app.command("due")
def due(
    on: Annotated[str | None, typer.Option(help="the day (default: today)")] = None,
    days: Annotated[int, typer.Option(min=0, max=366, help="look so many days ahead")] = 0,
    journal: Journal = None,
    json: Json = False,
) -> None:
    """List the cases that wait for somebody: overdue first, then due."""
    from tankside.report.records_lookup_text import due_json, due_text
    from tankside.services.records_lookup import due_list

    listed = due_list(journal, on=on, days=days)
    answer(due_json(listed), due_text(listed), as_json=json)


@app.command("statistics")
def statistics(journal: Journal = None, json: Json = False) -> None:
    """Say how the cases ended, over all, by condition and by agent, each with its number.

    These are counts of what was entered, not evidence that a treatment works.
    """
    from tankside.report.records_lookup_text import outcomes_json, outcomes_text
    from tankside.services.records_lookup import outcomes

    counts = outcomes(journal)
    answer(outcomes_json(counts), outcomes_text(counts), as_json=json)


@app.command("people")
def people_command(journal: Journal = None, json: Json = False) -> None:
    """List the people of the journal: who wrote, who keeps."""
    from tankside.report.records_text import people_json, people_text
    from tankside.services.records_people import people

    listed = people(journal)
    answer(people_json(listed), people_text(listed), as_json=json)


@app.command("remove-person")
def remove_person(
    number: Annotated[int, typer.Argument(help="number of the person")],
    name: Annotated[str, typer.Argument(help="the name as records people prints it")],
    journal: Journal = None,
    json: Json = False,
) -> None:
    """Take a name out of the journal, for good; entries stay, with a number in its place.

    Later exports and backups do not hold it. Earlier ones do, and so may free text.
    """
    from tankside.report.records_text import people_json, removed_text
    from tankside.services.records_people import remove

    person = remove(number, name, journal)
    answer(people_json([person]), removed_text(person), as_json=json)


@app.command("import")
def import_command(
    folder: Annotated[
        str, typer.Argument(help="where the case files are; or an entries.csv or cases.json")
    ],
    journal: Journal = None,
    json: Json = False,
) -> None:
    """Take the case files of a folder into the journal, each whole or not at all.

    A file that was taken before adds what is new in it.
    """
    from tankside.report.records_text import transfer_json, transfer_text
    from tankside.services.records import import_folder

    files = import_folder(folder, journal)
    answer(transfer_json(files), transfer_text(files), as_json=json)
    _stop_if(any(each.fault for each in files), NOT_DONE)


@app.command("export")
def export(
    folder: Annotated[str, typer.Argument(help="where the case files are to go")],
    tables: Annotated[
        bool, typer.Option("--tables", help="write cases.csv, entries.csv and cases.json instead")
    ] = False,
    photos: Annotated[
        str | None, typer.Option(help="with --tables: copy the photos of the cases from here")
    ] = None,
    journal: Journal = None,
    json: Json = False,
) -> None:
    """Write each case of the journal as a case file; a file that says something else stays."""
    if tables:
        _export_tables(folder, journal, photos, json=json)
        return
    from tankside.report.records_text import transfer_json, transfer_text
    from tankside.services.records import export_folder

    files = export_folder(folder, journal)
    answer(transfer_json(files), transfer_text(files), as_json=json)
    _stop_if(any(each.fault for each in files), NOT_DONE)


def _export_tables(folder: str, journal: str | None, photos: str | None, *, json: bool) -> None:
    from tankside.report.records_text import tables_json, tables_text
    from tankside.services.records_tables import export_tables

    written = export_tables(folder, journal, photos=photos)
    answer(tables_json(written), tables_text(written), as_json=json)
    _stop_if(bool(written.missing), NOT_DONE)


@app.command("verify")
def verify(journal: Journal = None, json: Json = False) -> None:
    """Check each entry against the chain, and what is made from them; exit code 3 if broken."""
    from tankside.report.records_text import verified_json, verified_text
    from tankside.services.records import verify_journal

    verified = verify_journal(journal)
    answer(verified_json(verified), verified_text(verified), as_json=json)
    _stop_if(bool(verified.faults) or not verified.entries, BROKEN)


@app.command("backup")
def backup(
    file: Annotated[str, typer.Argument(help="the file to make, with its manifest beside it")],
    journal: Journal = None,
    json: Json = False,
) -> None:
    """Back up the journal while it is used, and read the backup back."""
    from tankside.report.records_text import backup_json, backup_text
    from tankside.services.records import back_up

    manifest = back_up(file, journal)
    answer(backup_json(manifest, file), backup_text(manifest, file), as_json=json)


@app.command("restore")
def restore_command(
    backup: Annotated[str, typer.Argument(help="a file made by records backup")],
    to: Annotated[
        str | None,
        typer.Option(help="a new file, or an empty database; left out: only try it"),
    ] = None,
    json: Json = False,
) -> None:
    """Restore a backup to a new place; the journal in use is never touched."""
    from tankside.report.records_text import backup_json, backup_text
    from tankside.services.records import restore

    manifest = restore(backup, to)
    place = to or "Tried out and thrown away"
    answer(backup_json(manifest, to or ""), backup_text(manifest, place), as_json=json)


@app.command("rebuild")
def rebuild(journal: Journal = None, json: Json = False) -> None:
    """Make the case list and whatever else is made from the entries again."""
    from tankside.services.records import rebuild_journal

    cases = rebuild_journal(journal)
    answer({"cases": cases}, f"Made again from the entries of {cases} cases.", as_json=json)


@app.command("migrate")
def migrate(journal: Journal = None, json: Json = False) -> None:
    """Bring the journal of an older version up to date; a copy of before is kept."""
    from tankside.report.records_text import upgraded_text
    from tankside.services.records import migrate_journal

    upgraded = migrate_journal(journal)
    copy = None if upgraded.copy is None else str(upgraded.copy)
    result = {"before": upgraded.before, "after": upgraded.after, "copy": copy}
    answer(result, upgraded_text(upgraded), as_json=json)


@app.command("grant")
def grant_command(
    role: Annotated[str, typer.Argument(help="a role of the PostgreSQL server")],
    journal: Journal = None,
    json: Json = False,
) -> None:
    """Let a role read and add entries, and nothing else; run it as the owner of the database."""
    from tankside.services.records import grant

    place = grant(role, journal)
    text = f"{role} may now read and add in {place}."
    answer({"role": role, "journal": str(place)}, text, as_json=json)


def _stop_if(failed: bool, code: int) -> None:
    if failed:
        raise typer.Exit(code)
