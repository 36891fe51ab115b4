"""What the program says of itself, as JSON."""

from __future__ import annotations

from typing import TypedDict


class ServeJson(TypedDict):
    """Where the workbench listens."""

    url: str
    folder: str


class DemoJson(TypedDict):
    """What the story left behind."""

    folder: str
    case: str
    outcome: str
    files: list[str]
    serve: str


class CompletionJson(TypedDict):
    """The script that completes commands in a shell."""

    shell: str
    script: str


class FigureJson(TypedDict):
    """A measured figure beside its reference."""

    name: str
    value: float | None
    unit: str
    reference: str
    ratio: float | None


class FiguresJson(TypedDict):
    """The figures of a measurement."""

    figures: list[FigureJson]


class RankScoresJson(TypedDict):
    """How well known cases are ranked; the rest is described in bench.md."""

    all: dict[str, object]
    gross_only: dict[str, object]
    speed: dict[str, float | None]
    calibrated: bool
    own_idea: dict[str, int]
