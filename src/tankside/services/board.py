"""Which case comes first: what is urgent, what is due, what waits, from the cases of a folder."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import IntEnum
from pathlib import Path
from threading import Lock
from typing import Protocol

from tankside import library
from tankside.case import CaseView
from tankside.case.seen import CountMade
from tankside.errors import Mistake
from tankside.intake import clock
from tankside.intake.course_steps import CourseStep, followed_steps
from tankside.intake.standing_answers import standing
from tankside.library.diagnosis_files import load_diagnosis
from tankside.quantity.moment import Moment
from tankside.records.case_store import read_case
from tankside.services.earliest_stop import earliest_stop

BREATHING, GASPING = "breathing", "gasping_surface"
MOST_SHOWN = 25
"""Cases of one urgency that a list shows; the others are searched for."""
LATELY = timedelta(hours=24)
"""How far back a death or a gasping fish makes a case urgent."""


class Urgency(IntEnum):
    """Which cases come first; the lowest does."""

    NOW = 0
    DUE = 1
    OPEN = 2
    WATCHED = 3
    UNREADABLE = 4
    CLOSED = 5


@dataclass(frozen=True, slots=True)
class CountOnDay:
    """What one count gave on a day of the case."""

    day: int
    number: float


@dataclass(frozen=True, slots=True)
class BoardCase:
    """One case of the list, in short.

    Args:
        file: its file name.
        urgency: how soon it is to be opened.
        view: the case; None when it cannot be read.
        fault: why it cannot be read, "" when it can.
        gasping: when a fish was last seen gasping, within the last day.
        dead_lately: deaths of the last day.
        steps_due: steps of today and before that nobody has answered.
        next_step: the next step to come, in UTC.
        what: what the counts count, "" without counts.
        counts: the counts of the fish that was counted most often.
        deaths: days of the case on which deaths were told.
        not_before: the earliest day on which a stop may be discussed.
        words: what it is searched by, in small letters.
    """

    file: str
    urgency: Urgency
    view: CaseView | None = None
    fault: str = ""
    gasping: Moment | None = None
    dead_lately: int = 0
    steps_due: int = 0
    next_step: datetime | None = None
    what: str = ""
    counts: tuple[CountOnDay, ...] = ()
    deaths: tuple[int, ...] = ()
    not_before: date | None = None
    words: str = ""


@dataclass(frozen=True, slots=True)
class BoardListing:
    """The cases of a list.

    Args:
        cases: those that are shown, the most urgent first.
        numbers: how many there are of each urgency, shown or not.
        everything: how many cases there are, searched for or not.
    """

    cases: Sequence[BoardCase]
    numbers: Mapping[Urgency, int]
    everything: int


class CaseBoard(Protocol):
    """Tells which case comes first."""

    def listed(self, sought: str = "") -> BoardListing:
        """Return the cases that hold every word of what is sought.

        Args:
            sought: words in any order; "" for all cases.
        """


class Board:
    """The cases of one folder, read again only when their file has changed."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._read: dict[str, tuple[tuple[int, int, str], BoardCase]] = {}
        self._lock = Lock()

    def cases(self) -> list[BoardCase]:
        """Return the cases, the most urgent first; of equals the one of the latest entry."""
        hour = clock.now().isoformat(timespec="hours")
        with self._lock:
            listed = [self._case(path, hour) for path in self._folder.glob("*.jsonl")]
        return sorted(listed, key=lambda case: (case.urgency, _newest_first(case), case.file))

    def listed(self, sought: str = "") -> BoardListing:
        """Return the cases that hold every word of what is sought, some of each urgency."""
        every = self.cases()
        words = sought.lower().split()
        fitting = [case for case in every if all(word in case.words for word in words)]
        return listing(fitting, len(every))

    def _case(self, path: Path, hour: str) -> BoardCase:
        stat = path.stat()
        stamp = (stat.st_mtime_ns, stat.st_size, hour)
        kept = self._read.get(path.name)
        if kept is not None and (kept[0] == stamp or _stays(kept, stamp)):
            return kept[1]
        case = board_case(path)
        self._read[path.name] = (stamp, case)
        return case


def listing(cases: Iterable[BoardCase], everything: int) -> BoardListing:
    """Return cases as a list that shows some of each urgency.

    Args:
        cases: the most urgent first.
        everything: how many cases there are.
    """
    numbers: Counter[Urgency] = Counter()
    shown = []
    for case in cases:
        numbers[case.urgency] += 1
        if numbers[case.urgency] <= MOST_SHOWN:
            shown.append(case)
    return BoardListing(shown, numbers, everything)


def _stays(kept: tuple[tuple[int, int, str], BoardCase], stamp: tuple[int, int, str]) -> bool:
    """Tell whether a case is as it was, whatever the hour: a closed one whose file stands."""
    return kept[0][:2] == stamp[:2] and kept[1].urgency is Urgency.CLOSED


def board_case(path: Path) -> BoardCase:
    """Return one case in short; a file that cannot be read is listed with its fault."""
    try:
        view = read_case(path).view()
        return in_short(path.name, view)
    except Mistake as fault:
        return BoardCase(path.name, Urgency.UNREADABLE, fault=str(fault), words=path.name.lower())


def in_short(file: str, view: CaseView) -> BoardCase:
    """Return a case in short.

    Args:
        file: what its pages are reached by.
        view: the case as it stands.
    """
    return replace(_short(file, view), words=_words(file, view))


def _words(file: str, view: CaseView) -> str:
    named = [group.description.name for group in view.stock.values()]
    looked = [f"{name} {' '.join(sorted(look.answers))}" for name, looks in view.evidence.items()
              for look in looks]  # fmt: skip
    opened = view.opened
    said = (file, view.name, f"{opened.water} water", f"keeper {opened.keeper}", opened.call or "")
    conditions = [diagnosis.condition for diagnosis in view.diagnoses]
    return " ".join((*said, *named, *conditions, *looked)).lower().replace("_", " ")


def _short(file: str, view: CaseView) -> BoardCase:
    if view.closed is not None:
        return BoardCase(file, Urgency.CLOSED, view)
    now = clock.now()
    gasping = _gasping(view, now)
    dead = sum(d.number for d in view.deaths if now - d.moment.when <= LATELY)
    steps = _steps(view)
    today = now.astimezone(view.opened.moment.when.tzinfo).date()
    at_tank = view.opened.moment.when.tzinfo
    due = sum(step.at.astimezone(at_tank).date() <= today for step in steps)
    ahead = [step.at for step in steps if step.at.astimezone(at_tank).date() > today]
    what, counts = counts_of(view)
    urgency = Urgency.OPEN if view.course is None else Urgency.WATCHED
    if due:
        urgency = Urgency.DUE
    if gasping is not None or dead:
        urgency = Urgency.NOW
    return BoardCase(
        file, urgency, view, "", gasping, dead, due, min(ahead, default=None), what, counts,
        tuple(view.day(death.moment) for death in view.deaths if death.number),
        earliest_day(view),
    )  # fmt: skip


def _gasping(view: CaseView, now: datetime) -> Moment | None:
    looks = standing(view.evidence.get(BREATHING, ()), load_diagnosis().findings[BREATHING])
    at = [look.at for look in looks if GASPING in look.answers and now - look.at.when <= LATELY]
    return at[-1] if at else None


def _steps(view: CaseView) -> list[CourseStep]:
    """Return the steps of the course that is followed and that nobody has answered."""
    if view.course is None:
        return []
    try:
        followed = followed_steps(view, library.load())
    except Mistake:
        return []
    return [step for step in followed[-1].steps if step.is_open] if followed else []


def counts_of(view: CaseView) -> tuple[str, tuple[CountOnDay, ...]]:
    """Return what was counted most often on one fish or group, and its numbers by day."""
    series: Sequence[Sequence[CountMade]] = list(view.counts_by_fish().values())
    longest = max(series, key=len, default=())
    numbers = ((view.day(c.moment), c.number if c.mean is None else c.mean) for c in longest)
    counts = tuple(CountOnDay(day, float(n)) for day, n in numbers if n is not None)
    return (longest[0].what, counts) if counts else ("", ())


def earliest_day(view: CaseView) -> date | None:
    """Return the earliest day on which a stop may be discussed; None where there is no date."""
    try:
        earliest = earliest_stop(view)
    except Mistake:
        return None
    return None if earliest.day is None else view.opened.moment.day + timedelta(days=earliest.day)


def _newest_first(case: BoardCase) -> float:
    return 0.0 if case.view is None else -case.view.last_moment().utc.timestamp()
