"""What each template is filled with: one dataclass a template, its fields the names it reads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from tankside.errors import Mistake
from tankside.present.blocks import Page, Strip
from tankside.present.emergency import EmergencyCard
from tankside.report.board import BoardPage
from tankside.report.entry_form import EntryForm
from tankside.report.fits_ahead import AheadShown
from tankside.report.fits_cards import FitsPage
from tankside.report.page_day import DayPage
from tankside.report.page_look import LookPage


@dataclass(frozen=True, slots=True)
class Context:
    """What every page has; ``here`` is the key of the page, marked where pages are listed."""

    template: ClassVar[str]
    here: str


@dataclass(frozen=True, slots=True)
class CasesContext(Context):
    """The list of cases; ``now`` is the day in words."""

    template = "cases.html"
    page: BoardPage
    now: str


@dataclass(frozen=True, slots=True)
class CaseContext(Context):
    """What every page of a case has; ``base`` is the address its pages begin with."""

    base: str
    strip: Strip


@dataclass(frozen=True, slots=True)
class PageContext(CaseContext):
    """One page of a case; ``on_paper`` tells whether it can be had as a PDF."""

    template = "page.html"
    page: Page
    on_paper: bool


@dataclass(frozen=True, slots=True)
class PlansContext(PageContext):
    """The comparison of courses; ``state`` is the digest of the case it was made for."""

    template = "plans.html"
    names: Sequence[str]
    state: str


@dataclass(frozen=True, slots=True)
class DayContext(CaseContext):
    """The page of the day card."""

    template = "day.html"
    page: DayPage


@dataclass(frozen=True, slots=True)
class LookContext(CaseContext):
    """An examination; ``sent`` is what was filled in when the form comes back with a mistake."""

    template = "look.html"
    page: LookPage
    ahead: AheadShown
    sent: Mapping[str, str]
    mistake: Mistake | None


@dataclass(frozen=True, slots=True)
class FitsContext(CaseContext):
    """What fits; ``names`` are the causes of the list, for the own idea."""

    template = "fits.html"
    page: FitsPage
    names: Sequence[str]
    idea_shown_by: str


@dataclass(frozen=True, slots=True)
class AheadContext(Context):
    """What fits while a sitting is still being answered."""

    template = "_ahead.html"
    ahead: AheadShown


@dataclass(frozen=True, slots=True)
class EnterContext(CaseContext):
    """What can be entered: word, title and help of each kind."""

    template = "enter.html"
    kinds: Sequence[tuple[str, str, str]]


@dataclass(frozen=True, slots=True)
class FormContext(CaseContext):
    """A form; ``number`` tells it from its twin that a second click sends.

    ``action`` is the address it is sent to, ``onward`` the page of the case it leads back to.
    """

    template = "form.html"
    form: EntryForm
    action: str
    number: str
    onward: str


@dataclass(frozen=True, slots=True)
class NewCaseContext(Context):
    """The form that opens a case."""

    template = "new_case.html"
    form: EntryForm
    action: str
    number: str
    onward: str


@dataclass(frozen=True, slots=True)
class EmergencyContext(Context):
    """The emergency card."""

    template = "emergency.html"
    card: EmergencyCard


@dataclass(frozen=True, slots=True)
class MistakeContext(Context):
    """A mistake; ``base`` is the address that the pages of its case begin with, or ""."""

    template = "mistake.html"
    mistake: Mistake
    base: str
