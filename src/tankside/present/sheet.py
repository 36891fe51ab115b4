"""A teaching sheet: what a page of the browser and a printed sheet both show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tankside.present.amounts import tie_units
from tankside.present.plates import plate_svg
from tankside.present.table import Table
from tankside.present.typesetting import set_page

FOOT = "For teaching; no substitute for a licensed veterinarian. Follow labels and local law."


@dataclass(frozen=True, slots=True)
class Picture:
    """One drawing with what stands beside it.

    Args:
        title: what it shows.
        alternative: the same in words, for who does not see it.
        lines: what stands behind its letters, its bars and what it rests on.
        plate: short name of a drawing on file; "" where ``svg`` holds it.
        svg: the drawing itself, as it stands on paper.
        moving: the same with its marker, for a page; "" where nothing moves.
        sign: the sign that separates, in one sentence.
    """

    title: str
    alternative: str
    lines: tuple[str, ...]
    plate: str = ""
    svg: str = ""
    moving: str = ""
    sign: str = ""


@dataclass(frozen=True, slots=True)
class SheetPart:
    """One part of a sheet under its title.

    Args:
        title: "" for plain text.
        lines: sentences.
        pictures: drawings.
        table: a table, where there is one.
        strong: a word in front that frames the part.
        note: small print below.
        basis: what the lines rest on, one entry a source or mark.
    """

    title: str
    lines: tuple[str, ...] = ()
    pictures: tuple[Picture, ...] = ()
    table: Table | None = None
    strong: str = ""
    note: str = ""
    basis: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole sheet.

    Args:
        key: its place among the addresses.
        question: what it answers, in small.
        title: the answer in one sentence.
        lead: at most two lines below it.
        parts: what follows.
    """

    key: str
    question: str
    title: str
    lead: str
    parts: tuple[SheetPart, ...]


def sheet_pdf(sheet: Sheet, printed_on: date, paper: str = "a4") -> bytes:
    """Return a sheet on paper.

    Args:
        sheet: what it holds.
        printed_on: the day it is printed, which stands in its foot.
        paper: "a4", "a5" or "us-letter".

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
    """
    data = {
        "title": sheet.title,
        "question": sheet.question,
        "lead": tie_units(sheet.lead),
        "foot": f"Tankside. {FOOT} Printed {printed_on.isoformat()}.",
        "parts": [_part(part) for part in sheet.parts],
    }
    return set_page("sheet.typ", "sheet", data, paper)


def _part(part: SheetPart) -> dict[str, object]:
    table = part.table
    return {
        "title": part.title,
        "strong": part.strong,
        "lines": [tie_units(line) for line in part.lines],
        "pictures": [_picture(picture) for picture in part.pictures],
        "table": table and {"head": list(table.head), "rows": [list(row) for row in table.rows]},
        "note": tie_units(part.note),
        "basis": list(part.basis),
    }


def _picture(picture: Picture) -> dict[str, object]:
    drawn = plate_svg(picture.plate) if picture.plate else picture.svg.encode()
    return {
        "title": picture.title,
        "alternative": picture.alternative,
        "sign": tie_units(picture.sign),
        "lines": [tie_units(line) for line in picture.lines],
        "svg": (drawn or b"").decode(),
        "wide": not picture.plate,
    }
