"""Forecast and follow-up, as JSON."""

from __future__ import annotations

from typing import NotRequired, TypedDict

from tankside.report.shapes.shared import FishlessJson, RangeJson, RefusalJson


class WindowJson(TypedDict):
    """How long a part of the life cycle lasts [days]; null for never."""

    what: str
    low: float | None
    middle: float | None
    high: float | None


class FollowedPlanJson(TypedDict):
    """The first course."""

    name: str
    version: int


class CountedJson(TypedDict):
    """What a look counts."""

    how: str
    group: str
    fish: int


class SampledWaterJson(TypedDict):
    """A combination of uncertain water."""

    name: str
    weight: float
    litres: float


class SpreadJson(TypedDict):
    """5, 25, 50, 75 and 95 % of the runs; null for never."""

    low: float | None
    lower: float | None
    middle: float | None
    upper: float | None
    high: float | None


class GroupLossJson(TypedDict):
    """Fish lost of a group."""

    low: float
    high: float
    of: int
    useful: bool


class NextLookJson(TypedDict):
    """The look that narrows the losses most."""

    how: str
    day: int
    narrows: float


class NoFigureJson(TypedDict):
    """A stage on which nothing is recorded."""

    stage: str
    why: str


class ActsJson(TypedDict):
    """What acts on the parasite."""

    kind: str
    what: str
    reaches: list[str]
    no_figure: list[NoFigureJson]


class PassageJson(TypedDict):
    """When something happens for the first time."""

    what: str
    happens_of_20: int | None
    happens_words: str | None
    p_happens: float | None
    days: SpreadJson | None
    useful: bool


class MoverJson(TypedDict):
    """A claim that moves the outcome."""

    key: str
    words: str
    rank_correlation: float
    beyond_chance: bool


class ForecastDayJson(TypedDict):
    """A day of a forecast course."""

    day: int
    date: str
    counted: SpreadJson | None
    countable_share: SpreadJson | None
    burden_per_fish: SpreadJson | None
    worst_visible: SpreadJson | None
    burden: SpreadJson | None
    bottom: SpreadJson | None
    swimmers: SpreadJson | None
    alive: SpreadJson | None
    alive_by_group: dict[str, SpreadJson | None]
    clear_of_20: int | None
    clear_words: str | None
    p_clear: float | None
    left_of_20: int | None
    left_words: str | None
    p_left: float | None
    no_fish_of_20: int | None
    no_fish_words: str | None
    p_no_fish: float | None
    clean_look_of_20: int | None
    clean_look_words: str | None
    p_clean_look: float | None
    clear_if_clean_of_20: int | None
    clear_if_clean_words: str | None
    p_clear_if_clean: float | None


class ForecastCourseJson(TypedDict):
    """A course played many times."""

    name: str
    clear_of_20: int | None
    clear_words: str | None
    p_clear: float | None
    p_se: float
    left_of_20: int | None
    left_words: str | None
    p_left: float | None
    no_fish_of_20: int | None
    no_fish_words: str | None
    p_no_fish: float | None
    deaths_known: bool
    lost_low: int | None
    lost_middle: int | None
    lost_high: int | None
    lost_useful: bool
    lost_by_group: dict[str, GroupLossJson]
    next_look: NextLookJson | None
    stock: int
    acts: list[ActsJson]
    passages: list[PassageJson]
    clear_when_seen_free_of_20: int | None
    clear_when_seen_free_words: str | None
    p_clear_when_seen_free: float | None
    clear_days: list[float | None]
    last_dose_day: float | None
    treated_until_day: float
    clean_look_from_day: float | None
    moves_clearance: list[MoverJson]
    moves_losses: list[MoverJson]
    days: list[ForecastDayJson]


class RivalDrawnJson(TypedDict):
    """One of several claims that contradict each other."""

    low: float
    high: float
    weight: float
    source: str
    provenance: str


class SampledJson(TypedDict):
    """What differs between runs."""

    key: str
    words: str
    low: float
    high: float
    unit: str
    spread: str
    source: str
    provenance: str
    confidence: str
    note: str
    rivals: list[RivalDrawnJson]
    in_use: bool


class SweepPointJson(TypedDict):
    """A held value and what comes of it."""

    value: float
    clear: list[float]
    difference: float
    difference_se: float
    last_dose_day: float | None
    clean_look_from_day: float | None


class FlipJson(TypedDict):
    """Where the advice turns over."""

    value: float
    between: list[float]
    rising: bool
    sure: bool


class SweepJson(TypedDict):
    """One claim held at rising values."""

    key: str
    words: str
    courses: list[str]
    treated_until_day: float
    points: list[SweepPointJson]
    choice_flips: list[FlipJson]
    length_flips: list[FlipJson]


class ForecastJson(TypedDict):
    """A forecast."""

    organism: str
    temperature_c: float
    windows_days: list[WindowJson]
    not_before: str | None
    plan: FollowedPlanJson
    day_0: str
    runs: int
    counted: CountedJson
    water: list[SampledWaterJson]
    courses: list[ForecastCourseJson]
    sampled: list[SampledJson]
    sweeps: list[SweepJson]
    questions: dict[str, str]
    seed: int
    seconds: float
    not_validated: str


PrintedDateJson = TypedDict(
    "PrintedDateJson",
    {
        "part": str,
        "what": str,
        "days_low": float | None,
        "days_high": float | None,
        "from": str | None,
        "to": str | None,
        "beside": str,
        "source": str,
        "note": str,
    },
)
"""A time in print and the dates it leads to."""


class PrintedDatesJson(TypedDict):
    """Dates in print where there is no forecast."""

    error: RefusalJson
    organism: str
    temperature_c: float | None
    missing: dict[str, str]
    dates: list[PrintedDateJson]


class ChanceSaidJson(TypedDict):
    """A chance that may be told."""

    words: str
    share: float
    standard_error: float


class NamedDateJson(TypedDict):
    """A date that has to be over."""

    day: float
    words: str


class PredictedJson(TypedDict):
    """A count and what was to be expected."""

    day: int
    what: str
    seen: float
    low: float
    high: float
    tail: float


class ExamineJson(TypedDict):
    """A reason to look into."""

    reason: str
    pointers: list[str]
    test: str


class AtStrengthJson(TypedDict):
    """An agent held by test."""

    agent: str
    counted: float
    needed: float
    lost: float
    held_until: str


class RedatedJson(TypedDict):
    """New hours of the steps ahead."""

    words: list[str]
    later_h: float
    dropped: list[int]
    hours: dict[str, float]


class FollowJson(TypedDict):
    """A follow-up."""

    day: int
    date: str
    clear_now_of_20: int | None
    clear_now: ChanceSaidJson | None
    returns_if_stopped_of_20: int | None
    returns_if_stopped: ChanceSaidJson | None
    returns_going_on_of_20: int | None
    returns_going_on: ChanceSaidJson | None
    not_before: str | None
    not_before_day: int | None
    last_seen_day: int | None
    slow_cycle_days: float
    temperature_c: float
    not_before_words: str
    not_before_dates: list[NamedDateJson]
    advice: str
    reasons: list[str]
    zero_of_n: str
    believed: dict[str, RangeJson] | None
    effective_runs: float
    trust_in_counts: float
    runs: int
    explained: bool
    fit: str
    misfit: list[PredictedJson]
    foretold: list[PredictedJson]
    examine: list[ExamineJson]
    at_strength: list[AtStrengthJson]
    fishless: list[FishlessJson]
    redated: RedatedJson | None
    redated_entry: NotRequired[int]
    next_check: str
    look: str
    water_warnings: list[str]
    seed: int
    seconds: float
    not_validated: str
