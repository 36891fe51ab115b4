"""What each template is filled with: one dataclass a template, its fields the names it reads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from tankside.errors import Mistake
from tankside.present.blocks import Document, Page, Strip
from tankside.present.emergency import EmergencyCard
from tankside.report.board import BoardPage
from tankside.report.built_form import BuiltPage
from tankside.report.claim_page import ClaimPage, NumberLine, SourcePage
from tankside.report.correction import CorrectionPage
from tankside.report.entry_form import EntryForm
from tankside.report.fits_ahead import AheadShown
from tankside.report.fits_cards import FitsPage
from tankside.report.laid_over import LaidPage
from tankside.report.page_day import DayPage
from tankside.report.page_look import LookPage
from tankside.report.page_photos import PhotosPage
from tankside.report.page_start import StartPage
from tankside.report.page_tank import TankPage
from tankside.report.page_water import WaterPage
from tankside.report.plan_cards import PlansShown
from tankside.web.worker import Job, JobState


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
class Waiting:
    """Work that a page waits for: its page, how far it is, and whether somebody stopped it.

    ``asked`` is what stands behind the address of the page, its question mark in front.
    """

    what: str
    words: str
    done: int
    total: int
    is_stopped: bool
    asked: str = ""


def waiting(what: str, job: Job[Any] | None, asked: str = "") -> Waiting | None:
    """Return how far the work of a page is; None when it waits for none."""
    if job is None:
        return None
    stopped = job.state is JobState.CANCELLED
    return Waiting(what, job.what, job.done, job.total, stopped, f"?{asked}" if asked else "")


@dataclass(frozen=True, slots=True)
class PageContext(CaseContext):
    """One page of a case; ``on_paper`` tells whether it can be had as a PDF.

    ``waiting`` is the work it waits for, None when it is done.
    """

    template = "page.html"
    page: Page
    on_paper: bool
    waiting: Waiting | None


@dataclass(frozen=True, slots=True)
class PapersContext(PageContext):
    """A paper about a case; ``kind`` is which, so that the others are offered beside it."""

    template = "papers.html"
    kind: str


@dataclass(frozen=True, slots=True)
class PlansContext(PageContext):
    """The comparison of courses; ``names`` are what each is chosen by, and its name.

    ``shown`` is the comparison as cards, None while there is none. ``built`` are the steps of a
    course put together by hand, ``asked`` the same as they stand behind the address.
    """

    template = "plans.html"
    shown: PlansShown | None
    names: Sequence[tuple[str, str]]
    built: Sequence[tuple[str, str]]
    asked: str


@dataclass(frozen=True, slots=True)
class BuildContext(CaseContext):
    """A course being put together.

    ``values`` is what was typed into a step that comes back with ``mistake``; ``asked`` the
    address of all its steps, ``without`` that of all but each one; ``left`` that of the steps
    which were kept last, with the time they were, "" for none.
    """

    template = "build.html"
    page: BuiltPage
    values: Mapping[str, str]
    mistake: Mistake | None
    asked: str
    without: Sequence[str]
    agents: Sequence[str]
    left: str
    left_at: str


@dataclass(frozen=True, slots=True)
class LaidContext(PageContext):
    """Two courses laid over each other; ``laid`` is None while they are played.

    ``back`` is the address of the comparison that they are of.
    """

    template = "laid_over.html"
    laid: LaidPage | None
    back: str


@dataclass(frozen=True, slots=True)
class DayContext(CaseContext):
    """The page of the day card."""

    template = "day.html"
    page: DayPage


@dataclass(frozen=True, slots=True)
class StartContext(CaseContext):
    """The page before a course starts; ``sent`` is what was filled in when it comes back."""

    template = "start.html"
    page: StartPage
    sent: Mapping[str, str]
    mistake: Mistake | None


@dataclass(frozen=True, slots=True)
class StartRefusedContext(CaseContext):
    """A course that cannot be started as the case stands, and why."""

    template = "start_refused.html"
    mistake: Mistake


@dataclass(frozen=True, slots=True)
class AmountContext(CaseContext):
    """One amount with its sum; ``asked`` is what was filled in, ``answer`` None while nothing is.

    ``waters`` and ``agents`` are what may be chosen from, ``mistake`` why no amount is shown.
    """

    template = "amount.html"
    asked: Mapping[str, str]
    answer: Document | None
    waters: Sequence[tuple[str, str]]
    agents: Sequence[str]
    routes: Sequence[str]
    mistake: Mistake | None


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
class TankContext(CaseContext):
    """The waters of a case and what lives in them."""

    template = "tank.html"
    page: TankPage


@dataclass(frozen=True, slots=True)
class WaterContext(CaseContext):
    """The readings of the waters of a case."""

    template = "water.html"
    page: WaterPage


@dataclass(frozen=True, slots=True)
class PhotosContext(CaseContext):
    """The pictures of a case; ``typed`` is what was said of one that was refused."""

    template = "photos.html"
    page: PhotosPage
    typed: Mapping[str, str]
    mistake: Mistake | None


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
class FormShown:
    """A form with what stands around it.

    Args:
        form: the form.
        action: the address it is sent to.
        number: tells it from its twin that a second click sends.
        onward: the page of the case it leads back to.
        version: the version of the case that it is shown for; 0 where there is no case yet.
        draft_at: when what stands in it was kept and not saved, "" when nothing was.
        twice: whether the same stands in the case already.
        since: entries of the same kind that were saved since it was shown.
    """

    form: EntryForm
    action: str
    number: str
    onward: str = ""
    version: int = 0
    draft_at: str = ""
    twice: bool = False
    since: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FormContext(CaseContext):
    """A form of a case."""

    template = "form.html"
    shown: FormShown


@dataclass(frozen=True, slots=True)
class CorrectContext(CaseContext):
    """The page on which an entry is corrected.

    ``action`` is where its forms are sent, ``version`` that of the case they are shown for,
    ``reason`` what was typed as the reason, ``mistake`` why it comes back.
    """

    template = "correct.html"
    page: CorrectionPage
    action: str
    version: int
    reason: str
    mistake: Mistake | None


@dataclass(frozen=True, slots=True)
class NewCaseContext(Context):
    """The form that opens a case."""

    template = "new_case.html"
    shown: FormShown


@dataclass(frozen=True, slots=True)
class WhyContext(CaseContext):
    """The numbers behind a case, by what they are used for."""

    template = "why.html"
    uses: Sequence[tuple[str, Sequence[NumberLine]]]


@dataclass(frozen=True, slots=True)
class ClaimsContext(Context):
    """The numbers under a key; ``mistake`` says why there are none."""

    template = "claims.html"
    sought: str
    lines: Sequence[NumberLine]
    mistake: Mistake | None


@dataclass(frozen=True, slots=True)
class ClaimContext(Context):
    """One number with its source and what stands beside it."""

    template = "claim.html"
    page: ClaimPage


@dataclass(frozen=True, slots=True)
class SourceContext(Context):
    """One work and what cites it."""

    template = "source.html"
    page: SourcePage


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
