"""A teaching sheet for a terminal and as the documented JSON object; pictures are said in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from tankside.present.blocks import Block, Document, Rows, Words
from tankside.present.sheet import FOOT, Sheet, SheetPart
from tankside.report.teaching.shelf import contents

if TYPE_CHECKING:
    from tankside.report.shapes.teaching import SheetJson, SheetsJson

TITLE = "Teaching sheets"
HOW = "Name one to read it here; with --pdf FILE it is printed with its drawings."


def contents_document() -> Document:
    """Return the sheets by what they are about, each with the word to type."""
    blocks = (
        Words(about, tuple(f"{address}: {name}" for address, name in sheets))
        for about, sheets in contents().items()
    )
    return Document(TITLE, tuple(blocks), HOW)


def contents_json() -> SheetsJson:
    """Return the same as data."""
    return {
        "sheets": [
            {"sheet": address, "name": name, "about": about}
            for about, sheets in contents().items()
            for address, name in sheets
        ]
    }


def sheet_document(sheet: Sheet) -> Document:
    """Return a sheet for a terminal, with each drawing in the words beside it."""
    blocks = (block for part in sheet.parts for block in _blocks(part))
    return Document(sheet.title, (*blocks, Words("", (FOOT,))), sheet.lead)


def _blocks(part: SheetPart) -> Iterator[Block]:
    small = (part.note,) if part.note else ()
    under_title = bool(part.lines or part.pictures or part.table is None)
    if under_title:
        yield Words(part.title, (*part.lines, *small), strong=part.strong)
    for picture in part.pictures:
        sign = (picture.sign,) if picture.sign else ()
        yield Words(picture.title, (picture.alternative, *sign, *picture.lines))
    if part.table is not None:
        title, below = (part.table.caption, "") if under_title else (part.title, part.note)
        yield Rows(title, part.table, below)
    if part.basis:
        yield Words("It rests on", part.basis)


def sheet_json(sheet: Sheet) -> SheetJson:
    """Return a sheet as data."""
    return {
        "sheet": sheet.key,
        "question": sheet.question,
        "title": sheet.title,
        "lead": sheet.lead,
        "parts": [
            {
                "title": part.title,
                "frame": part.strong,
                "lines": list(part.lines),
                "pictures": [
                    {"title": picture.title, "alternative": picture.alternative,
                     "sign": picture.sign, "lines": list(picture.lines)}
                    for picture in part.pictures
                ],
                "table": None if part.table is None else {
                    "head": list(part.table.head), "rows": [list(row) for row in part.table.rows],
                },
                "note": part.note,
                "basis": list(part.basis),
            }
            for part in sheet.parts
        ],
        "foot": FOOT,
    }  # fmt: skip
