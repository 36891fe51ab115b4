"""Cases, what is saved in them, and letters about them, as JSON."""

from __future__ import annotations

from typing import NotRequired, TypedDict

from tankside.report.shapes.shared import EntryJson


class LookViewJson(TypedDict):
    """A look at a finding."""

    state: str | None
    answers: list[str]
    examined: int | None
    infected: int | None
    number: int | None
    at: str
    site: str | None
    fish: str | None
    group: str | None
    system: str | None


class KeptJson(TypedDict):
    """What is kept of an entry that no answer uses."""

    entry: int
    kind: NotRequired[str]
    fields: list[str]


class CaseJson(TypedDict):
    """What a case says now; entries, and waters and groups made from them, as in case.v1.json."""

    case: EntryJson
    version: int
    closed: EntryJson | None
    systems: list[EntryJson]
    stock: list[EntryJson]
    findings: dict[str, list[LookViewJson]]
    counts: list[EntryJson]
    wet_mounts: list[EntryJson]
    agents_in_water: list[EntryJson]
    events: list[EntryJson]
    course: EntryJson | None
    actions_done: list[EntryJson]
    deaths: list[EntryJson]
    diagnoses: list[EntryJson]
    decisions: list[EntryJson]
    not_asked: list[str]
    kept: list[KeptJson]
    history: list[EntryJson]


class AddedJson(TypedDict):
    """What was saved: ``file``, or ``case`` with its number in the journal."""

    file: NotRequired[str]
    case: NotRequired[int]
    version: int
    added: list[EntryJson]
    notes: NotRequired[list[str]]
    kept: NotRequired[list[KeptJson]]


class ImportedJson(TypedDict):
    """A case file was taken."""

    file: NotRequired[str]
    case: NotRequired[int]
    version: int


class ExportedLinesJson(TypedDict):
    """A case in its canonical spelling, line by line."""

    lines: list[str]


class ExportedFileJson(TypedDict):
    """The file a case was written to."""

    file: str


class ListedCaseJson(TypedDict):
    """A case file of a folder."""

    file: str
    name: str
    keeper: str
    opened: str
    last: str
    entries: int
    closed: bool
    fault: str


class CaseListJson(TypedDict):
    """The case files of a folder."""

    cases: list[ListedCaseJson]


class PhotosJson(TypedDict):
    """The pictures of a case: their entries, each with ``kept``."""

    photos: list[EntryJson]
    written: list[str]


class LetterPartJson(TypedDict):
    """A part of a letter."""

    title: str
    lines: list[str]


class AwaitedParasiteJson(TypedDict):
    """A parasite that a quarantine waits for."""

    name: str
    way: str
    cycle_d: float | None
    too_slow: bool


class QuarantineJson(TypedDict):
    """The quarantine of waters that share a start."""

    waters: list[str]
    began: str
    why: str
    ends: str
    long_end: str
    looks: list[str]
    look_for: list[list[str]]
    parasites: list[AwaitedParasiteJson]


class LetterJson(TypedDict):
    """A letter about a case."""

    case: str
    kind: str
    title: str
    is_over: bool
    parts: list[LetterPartJson]
    quarantine: list[QuarantineJson]
