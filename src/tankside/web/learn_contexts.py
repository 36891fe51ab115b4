"""What the teaching templates are filled with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tankside.claims.teaching import PracticeCase
from tankside.present.sheet import Sheet
from tankside.report.teaching.practice import PracticePage
from tankside.report.teaching.what_if import Slider, TriedShown
from tankside.web.contexts import Context


@dataclass(frozen=True, slots=True)
class CycleChoice:
    """Which life cycle is shown, and which could be."""

    organisms: Sequence[tuple[str, str]]
    organism: str
    temperature: str


@dataclass(frozen=True, slots=True)
class LearnContext(Context):
    """The list of teaching pages: address and name, by what they are about."""

    template = "learn.html"
    shelves: Mapping[str, Sequence[tuple[str, str]]]


@dataclass(frozen=True, slots=True)
class SheetContext(Context):
    """One sheet; ``paper`` is the address of its PDF."""

    template = "learn_sheet.html"
    sheet: Sheet
    paper: str
    choose: CycleChoice | None


@dataclass(frozen=True, slots=True)
class PracticeShelfContext(Context):
    """The practice cases by level."""

    template = "practice_shelf.html"
    levels: Mapping[str, Sequence[PracticeCase]]


@dataclass(frozen=True, slots=True)
class PracticeContext(Context):
    """One page of a practice case."""

    template = "practice.html"
    page: PracticePage


@dataclass(frozen=True, slots=True)
class WhatIfContext(Context):
    """The invented tank: what is set, and what comes of it."""

    template = "what_if.html"
    sliders: Sequence[Slider]
    shown: TriedShown
    about: str


@dataclass(frozen=True, slots=True)
class TriedContext(Context):
    """What comes of the tank as it was set anew."""

    template = "_tried.html"
    shown: TriedShown
