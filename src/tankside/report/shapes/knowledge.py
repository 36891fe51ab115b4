"""What is looked up in the knowledge base, as JSON."""

from __future__ import annotations

from typing import NotRequired, TypedDict

from tankside.report.shapes.shared import ClaimJson


class ClaimsJson(TypedDict):
    """The claims under a key."""

    claims: list[ClaimJson]


class WorkJson(TypedDict):
    """A work that is cited."""

    key: str
    citation: str
    doi: NotRequired[str]
    where: NotRequired[str]
    status: str
    note: NotRequired[str]
    claims: NotRequired[int]


class SourceJson(TypedDict):
    """A work and the claims that cite it."""

    source: WorkJson
    cited_by: list[str]


class RivalsJson(TypedDict):
    """Claims side by side."""

    key: str
    default: ClaimJson | None
    why: str
    others: list[ClaimJson]
    rejected: list[ClaimJson]


class SourcesJson(TypedDict):
    """Every work."""

    sources: list[WorkJson]


class KnowledgeCountsJson(TypedDict):
    """The counts of claims and works."""

    claims: int
    with_source: int
    by_provenance: dict[str, int]
    by_confidence: dict[str, int]
    by_kind: dict[str, int]
    likelihoods_by_provenance: dict[str, int]
    unknown: int
    keys_with_rivals: int
    rejected: int
    sources: int
    sources_read: int


class KindJson(TypedDict):
    """A kind of animal or plant."""

    host: str
    name: str
    latin: str
    group: str
    water: str
    also: list[str]


class KindsJson(TypedDict):
    """Kinds on file."""

    kinds: list[KindJson]


class ProblemJson(TypedDict):
    """A fault of a knowledge file."""

    check: str
    file: str
    key: str
    message: str
    repair: str
    line: NotRequired[int]


class LintJson(TypedDict):
    """What the house checks of the knowledge say."""

    ok: bool
    problems: list[ProblemJson]


class PracticeJson(TypedDict):
    """What a practice added."""

    folder: str
    state: str
    added: list[ClaimJson]
    labels: dict[str, dict[str, str]]


class PagesWrittenJson(TypedDict):
    """The names of pages that were written."""

    written: list[str]
