"""Courses compared, the day card and the care of a case, as JSON."""

from __future__ import annotations

from typing import NotRequired, TypedDict

from tankside.report.shapes.shared import CautionJson, FishlessJson, RefusalJson


class CourseActionJson(TypedDict):
    """One step of a compared course."""

    day: int
    hour: int
    body: str
    kind: str
    text: str
    amounts: list[str]


class LeavingOutJson(TypedDict):
    """What leaving out a part of a course costs."""

    action: str
    clear_of_20: int
    words: str


class ComparedCourseJson(TypedDict):
    """One course beside the others."""

    number: int
    id: str
    name: str
    kind: str
    clear_of_20: int
    clear_words: str
    p_clear: float
    p_se: float
    lost_low: int | None
    lost_middle: int | None
    lost_high: int | None
    lost_useful: bool
    stock: int
    days: int
    work_min_per_day: float | None
    unbeaten: bool
    levers: list[str]
    actions: list[CourseActionJson]
    cautions: list[CautionJson]
    blocked: list[CautionJson]
    leaving_out: list[LeavingOutJson]
    not_before: str | None
    fishless: FishlessJson | None


class BlockedKindJson(TypedDict):
    """A kind of course that is not offered."""

    kind: str
    candidates: int
    reasons: list[CautionJson]


class SearchJson(TypedDict):
    """How far the search went."""

    candidates: int
    simulated: int
    histories: int
    seconds: float
    horizon_days: float


class TurnSideJson(TypedDict):
    """The best course under one of several papers."""

    reading: str
    low: float | None
    high: float | None
    source: str
    best: str
    runs: int


class TurnJson(TypedDict):
    """A key on which papers contradict each other."""

    key: str
    sides: list[TurnSideJson]


class ComparisonKeptJson(TypedDict):
    """Under which name a comparison is kept."""

    id: str
    version: int
    kept: bool


class LeverLeftOutJson(TypedDict):
    """A lever that is not tried in this kind of water."""

    name: str
    why: str


class PlanJson(TypedDict):
    """Courses compared."""

    next_hour: NotRequired[str]
    today: NotRequired[str]
    treated: NotRequired[list[str]]
    water_first: NotRequired[bool]
    courses: list[ComparedCourseJson]
    blocked: list[BlockedKindJson]
    search: SearchJson
    turns: list[TurnJson]
    organism: str
    temperature_c: float
    seed: int
    comparison: ComparisonKeptJson
    not_validated: str
    left_out: list[LeverLeftOutJson]
    questions: dict[str, str]
    not_simulated: list[str]


class ChosenCourseJson(TypedDict):
    """Which course was written, and as which entry."""

    course: str
    entry: int


class ChosenJson(TypedDict):
    """A course was chosen."""

    file: NotRequired[str]
    case: NotRequired[int]
    chosen: ChosenCourseJson


class CardPlanJson(TypedDict):
    """Which plan of a case a card belongs to."""

    name: str
    version: int
    replaces: str


class CardAmountJson(TypedDict):
    """An amount on the card."""

    text: str
    value: float
    unit: str
    agent: str
    sum: str
    reason: str


class CardLineJson(TypedDict):
    """A line of the card."""

    part: str
    step: str
    at: str
    text: str
    write_down: list[str]
    amounts: list[CardAmountJson]
    above_usual: list[str]


class HandlingJson(TypedDict):
    """What goes with a substance."""

    title: str
    agent: str
    hazard: str
    lines: list[str]


class DayCardJson(TypedDict):
    """The card of a day."""

    case: str
    heading: str
    title: str
    place: str
    example: bool
    date: str
    day: int
    plan: CardPlanJson
    lines: list[CardLineJson]
    handling: list[HandlingJson]
    changed: list[str]
    warning: str
    not_valid: list[str]
    first: list[str]
    first_call: str
    unanswered: list[str]
    stops: list[str]
    next: str
    do_not: list[str]
    call_if: list[str]
    phone: str
    emergency: str
    valid_until: str
    foot: str
    cautions: list[CautionJson]
    remarks: list[str]
    messages: list[str]
    text: str


class CareStatementJson(TypedDict):
    """What a protocol of care says, with its claim."""

    key: str
    words: str
    act: str
    decides: str
    mark: str
    source: str
    country: str | None
    as_of: str | None


class CareCauseJson(TypedDict):
    """A cause with its protocol of care."""

    cause: str
    name: str
    certainty: str
    why: str
    began: str
    said: dict[str, list[CareStatementJson]]
    tell: list[CareStatementJson]
    look_on: list[str]
    stop: list[str]
    advice: str
    reasons: list[str]


class DeathShareJson(TypedDict):
    """Deaths in one water, with the exact 95 % range of their share."""

    water: str
    dead: int
    of: int
    share_low: float
    share_high: float


class CareActionJson(TypedDict):
    """A step of an offered course of care."""

    at_h: float
    kind: str
    words: str


class CareCourseJson(TypedDict):
    """A course of care that can be chosen."""

    id: str
    kind: str
    cause: str
    name: str
    days: int
    simulated: bool
    steps: list[CareActionJson]


class AheadRowJson(TypedDict):
    """A reading as foretold until it is safe."""

    what: str
    unit: str
    safe: float
    hours: list[float]
    low: list[float]
    high: list[float]
    likely: list[float]
    safe_from_h: float | None
    likely_safe_from_h: float | None
    soonest_safe_from_h: float | None


class NewFilterJson(TypedDict):
    """What a filter that is not ripe needs."""

    changed_daily_share: float
    changed_daily: list[AheadRowJson]
    met: int
    of_readings: int
    met_left_out: int
    alkalinity_is_read: bool


class WaterAheadJson(TypedDict):
    """The water of the coming days in an emergency."""

    course: str
    rows: list[AheadRowJson]
    not_known: list[str]
    filter_weeks: list[list[float]]
    new_filter: NewFilterJson | None


class CareStepJson(TypedDict):
    """A step of the chosen course of care."""

    step: str
    at: str
    words: str
    answered: bool


class CareJson(TypedDict):
    """The care of a case without a simulated course."""

    case: str
    day: str
    next_hour: str
    today: str
    treated: list[str]
    water_first: bool
    look_again: str
    water: list[str]
    causes: list[CareCauseJson]
    deaths: list[DeathShareJson]
    care_courses: list[CareCourseJson]
    water_ahead: WaterAheadJson | None
    steps: list[CareStepJson]
    country: str | None
    why_not_simulated: list[str]
    refused: RefusalJson | None
