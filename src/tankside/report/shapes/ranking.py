"""The ranking of causes and what can be looked for, as JSON."""

from __future__ import annotations

from typing import TypedDict


class SpeaksJson(TypedDict):
    """A finding and how much its answer weighs for or against a cause."""

    finding: str
    answers: list[str]
    weight: float


class CauseGroupJson(TypedDict):
    """A part of what is not in the list."""

    condition: str
    name: str
    probability: float
    step: str


RankedCauseJson = TypedDict(
    "RankedCauseJson",
    {
        "condition": str,
        "name": str,
        "probability": float,
        "low": float,
        "high": float,
        "words": str,
        "first_in_redraws": float,
        "for": list[SpeaksJson],
        "against": list[SpeaksJson],
        "unknown": list[str],
        "would_change": list[SpeaksJson],
        "step": str,
        "leading": float,
        "groups": list[CauseGroupJson],
    },
)
"""One cause of the ranking."""


class CausePairJson(TypedDict):
    """Two causes together."""

    conditions: list[str]
    probability: float
    words: str


class AlarmJson(TypedDict):
    """A dangerous cause whatever its rank."""

    condition: str
    name: str
    probability: float
    words: str
    step: str
    also: list[str]


class LookMoveJson(TypedDict):
    """What an outcome of a sitting would change."""

    answer: str
    answers: list[list[str]]
    changes_step: bool
    probability: float
    first: str
    rises: list[str] | str
    falls: list[str] | str


class LookJson(TypedDict):
    """A sitting: what it takes and what it saves."""

    sitting: str
    finding: str
    findings: list[str]
    days: float
    minutes: float
    gain: float
    gain_per_minute: float
    why: str
    moves: list[LookMoveJson]


class SecondCauseJson(TypedDict):
    """A cause beside the leading one."""

    condition: str
    probability: float


class AlsoSeenJson(TypedDict):
    """What was seen without being the cause."""

    finding: str
    answers: list[str]
    condition: str
    probability: float


class AlikeJson(TypedDict):
    """Causes that no open finding parts."""

    condition: str
    other: str
    listed: bool
    parted_by: str


class BesideRankingJson(TypedDict):
    """What stands beside the ranking."""

    also_seen: list[AlsoSeenJson]
    looks_alike: list[AlikeJson]


class DifferentialJson(BesideRankingJson):
    """The ranking of a file of findings."""

    ranked: list[RankedCauseJson]
    pairs: list[CausePairJson]
    must_not_miss: list[AlarmJson]
    unexplained: list[str]
    look_next: list[LookJson]
    stop_looking: bool
    nothing_wrong: float
    not_in_list: float
    two_causes: float
    second: list[SecondCauseJson]
    keep_in_mind: list[str]
    passed_over: list[str]
    expected_harm: float
    calibrated: bool


class CaseDifferentialJson(DifferentialJson):
    """The ranking of a case."""

    own_idea: str
    confirmed: list[str]
    not_known_findings: list[str]
    system: str | None
    left_out_of_other_water: int
    to_be_asked: list[str]
    water_warnings: list[str]


class EarlyJson(TypedDict):
    """The unordered list to keep in mind."""

    keep_in_mind: list[str]


class FindingListedJson(TypedDict):
    """A finding that can be entered."""

    site: str
    finding: str
    label: str
    question: str
    answers: dict[str, str]


class FindingsJson(TypedDict):
    """The findings that hold a word."""

    word: str
    findings: list[FindingListedJson]
