"""``tankside case attach`` and ``case photos``: pictures kept with a case."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.account import Role, role_of, who_types
from tankside.cli.case_reference import CASE_HELP
from tankside.terminal.output import answer

File = Annotated[str, typer.Argument(metavar="FILE", help=CASE_HELP)]
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]


def attach(
    file: File,
    picture: Annotated[str, typer.Argument(help="a JPEG, PNG or WebP file")],
    words: Annotated[
        list[str] | None,
        typer.Argument(metavar="[WORDS]...", help='of="worst loach", note=..., on=...'),
    ] = None,
    by: Annotated[str | None, typer.Option(help="who writes this")] = None,
    role: Role = None,
    json: Json = False,
) -> None:
    """Keep a picture with a case: made upright and smaller, without where and when it was taken."""
    from tankside.case import to_object
    from tankside.case.typed_entry import split_words
    from tankside.report.case_text import line_text
    from tankside.report.case_words import saved_json, saved_words
    from tankside.services.photo_upload import upload_file
    from tankside.services.saving import Sent

    added = upload_file(
        file, picture, split_words(words or []), by=who_types(by), sent=Sent(role=role_of(role))
    )
    entries = [to_object(entry) for entry in added.new]
    result = {**saved_json(added.stored), "version": added.stored.version, "added": entries}
    lines = "\n".join(line_text(entry) for entry in added.new)
    answer(result, f"Saved in {saved_words(added.stored)}\n{lines}", as_json=json)


def photos(
    file: File,
    save: Annotated[str | None, typer.Option(help="folder to write them to")] = None,
    json: Json = False,
) -> None:
    """List the pictures of a case, and write those that are kept with it into a folder."""
    from tankside.report.case_photos_text import photos_json, photos_text
    from tankside.services.case_photos import photos_of, save_photos

    listed = photos_of(file)
    written = save_photos(file, save) if save is not None else ()
    answer(photos_json(listed, written), photos_text(listed, written), as_json=json)
