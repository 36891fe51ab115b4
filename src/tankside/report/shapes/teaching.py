"""Teaching sheets, as JSON."""

from __future__ import annotations

from typing import TypedDict


class SheetListedJson(TypedDict):
    """A sheet that can be asked for."""

    sheet: str
    name: str
    about: str


class SheetsJson(TypedDict):
    """Every teaching sheet."""

    sheets: list[SheetListedJson]


class SheetPictureJson(TypedDict):
    """A drawing in words."""

    title: str
    alternative: str
    sign: str
    lines: list[str]


class SheetTableJson(TypedDict):
    """A table."""

    head: list[str]
    rows: list[list[str]]


class SheetPartJson(TypedDict):
    """A part of a sheet."""

    title: str
    frame: str
    lines: list[str]
    pictures: list[SheetPictureJson]
    table: SheetTableJson | None
    note: str
    basis: list[str]


class SheetJson(TypedDict):
    """A teaching sheet."""

    sheet: str
    question: str
    title: str
    lead: str
    parts: list[SheetPartJson]
    foot: str
