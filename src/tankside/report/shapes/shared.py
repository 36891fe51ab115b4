"""Parts that stand in several JSON answers."""

from __future__ import annotations

from typing import Annotated, NotRequired, TypedDict

EntryJson = Annotated[dict[str, object], "an entry of a case, as in case.v1.json"]


class ClaimJson(TypedDict):
    """A claim; fields that are empty are left out."""

    key: str
    value: NotRequired[float | str]
    unit: NotRequired[str]
    low: NotRequired[float]
    high: NotRequired[float]
    conditions: NotRequired[dict[str, str]]
    basis: NotRequired[str]
    evidence: NotRequired[str]
    study_size: NotRequired[str]
    source: NotRequired[str]
    further: NotRequired[list[str]]
    place: NotRequired[str]
    provenance: str
    confidence: str
    default: NotRequired[bool]
    why_default: NotRequired[str]
    unknown: NotRequired[str]
    rejected: NotRequired[str]
    note: NotRequired[str]
    overlay: NotRequired[str]
    beside: NotRequired[str]
    holds: NotRequired[bool]
    released: NotRequired[dict[str, object]]


RefusalJson = TypedDict(  # noqa: UP013 (a key of it is no name for a variable)
    "RefusalJson",
    {
        "code": str,
        "message": str,
        "given": str,
        "needed": str,
        "next": str,
        "field": NotRequired[str],
    },
)
"""What is wrong, what was given, what is needed, what to do next."""


class MistakeJson(TypedDict):
    """A mistake in place of an answer."""

    error: RefusalJson


class WorkWaitingJson(TypedDict):
    """How far an answer has come that is still being worked out; the interface alone gives it."""

    state: str
    what: str
    done: int
    total: int


class CautionJson(TypedDict):
    """What stands against a step or an amount."""

    level: str
    code: str
    words: str
    why: str
    instead: str
    claim: NotRequired[str]
    agent: NotRequired[str]
    group: NotRequired[str]


class RangeJson(TypedDict):
    """A range with its middle."""

    low: float
    middle: float
    high: float


class FishlessJson(TypedDict):
    """How long a tank stands without fish; most is null where it is not known."""

    body: NotRequired[str]
    since: NotRequired[str]
    least_days: int | None
    most_days: int | None
    words: str
