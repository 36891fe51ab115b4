"""The journal as a whole, as JSON."""

from __future__ import annotations

from typing import NotRequired, TypedDict

from tankside.report.shapes.shared import RefusalJson


class JournalCaseJson(TypedDict):
    """A case of the journal in short."""

    number: int
    label: str
    name: str
    keeper: str
    opened: str
    last: str
    entries: int
    closed: bool


class JournalListJson(TypedDict):
    """Cases of the journal."""

    cases: list[JournalCaseJson]


class DueCaseJson(TypedDict):
    """A case that waits for somebody."""

    number: int
    label: str
    name: str
    due_on: str
    what: str
    steps: int
    days: int


class DueJson(TypedDict):
    """The cases that wait, overdue first."""

    today: str
    until: str
    overdue: list[DueCaseJson]
    due: list[DueCaseJson]


class OutcomeJson(TypedDict):
    """How the cases of a condition or an agent ended."""

    place: str
    name: str
    cases: int
    closed: int
    ended: dict[str, int]
    rates: bool
    median_days: float | None
    fish: int
    deaths: int


class StatisticsJson(TypedDict):
    """How the cases ended."""

    outcomes: list[OutcomeJson]


class JournalPersonJson(TypedDict):
    """A person of the journal."""

    number: int
    name: str
    removed: bool
    entries: int
    cases: int


class PeopleJson(TypedDict):
    """The people of the journal."""

    people: list[JournalPersonJson]


class TransferredJson(TypedDict):
    """A case file that was taken or written."""

    file: str
    case: int | None
    entries: int
    respelled: bool
    photos: int
    photos_missing: int
    error: NotRequired[RefusalJson]


class TransferJson(TypedDict):
    """Case files that were taken or written."""

    files: list[TransferredJson]


class TablesJson(TypedDict):
    """What was written as tables."""

    cases: int
    entries: int
    photos: list[str]
    missing: list[str]


class VerifiedJson(TypedDict):
    """What was looked over, and each fault."""

    entries: int
    cases: int
    head: str
    clock_suspect: int
    faults: list[str]


class BackupJson(TypedDict):
    """What a backup holds."""

    place: str
    identity: str
    schema: str
    entries: int
    cases: int
    head: str
    size_bytes: int
    sha256: str
    made_at: str


class RebuiltJson(TypedDict):
    """How many cases were made again from their entries."""

    cases: int


class MigratedJson(TypedDict):
    """From which schema to which a journal came."""

    before: str | None
    after: str
    copy: str | None


class GrantedJson(TypedDict):
    """Who may now read and add."""

    role: str
    journal: str
