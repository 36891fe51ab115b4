"""Amounts and water calculations, as JSON."""

from __future__ import annotations

from typing import TypedDict

from tankside.report.shapes.shared import CautionJson


class DoseAmountJson(TypedDict):
    """What is weighed or measured into a water; ``value`` and ``for_l`` are exact decimals."""

    text: str
    value: str
    unit: str
    for_l: str
    strength_mg_l: float
    strength_smaller_volume_mg_l: float
    basis: str
    sum: str
    stock_solution: str
    finer_tool: str
    reason: str
    read_back: str


class DoseLimitsJson(TypedDict):
    """What is usual and what is never passed."""

    usual_low: float | None
    usual_high: float | None
    hard: float | None


class DoseJson(TypedDict):
    """One amount for a water."""

    agent: str
    brings: str
    reaches_mg_l: float | None
    read_as: list[str]
    amount: DoseAmountJson
    do: str
    limits_mg_l: DoseLimitsJson
    cautions: list[CautionJson]
    people: dict[str, str]
    law: list[str]
    emergency: list[str]
    sources: list[str]


class FeedAmountJson(TypedDict):
    """What is weighed into food."""

    text: str
    value: str
    unit: str
    for_days: int
    food_g: float
    active_mg_a_day: float
    mg_per_kg_a_day: float
    mg_per_kg_a_day_at_most: float
    sum: str
    read_back: str
    finer_tool: str


class FeedJson(TypedDict):
    """One dose in food."""

    agent: str
    route: str
    read_as: list[str]
    amount: FeedAmountJson
    fish_g: list[float]
    food_g_a_day: float
    days: int
    do: str
    limits_mg_per_kg_a_day: DoseLimitsJson
    rules: list[str]
    cautions: list[CautionJson]
    people: dict[str, str]
    law: list[str]
    emergency: list[str]
    sources: list[str]


class EquipmentAmountJson(TypedDict):
    """What is stirred into a vessel for equipment."""

    text: str
    value: str
    unit: str
    for_l: str
    strength_mg_l: float
    sum: str
    stock_solution: str
    finer_tool: str


class EquipmentJson(TypedDict):
    """One amount for equipment."""

    agent: str
    route: str
    read_as: list[str]
    amount: EquipmentAmountJson
    minutes: float
    thiosulphate_g: float | None
    do: str
    rules: list[str]
    cautions: list[CautionJson]
    people: dict[str, str]
    law: list[str]
    emergency: list[str]
    sources: list[str]


class WaterResultJson(TypedDict):
    """A figure with its unit."""

    name: str
    value: float
    unit: str
    text: str


class WaterFormulaJson(TypedDict):
    """A formula with its source."""

    method: str
    gives: str
    equation: str
    source: str
    citation: str
    doi: str
    note: str


class WaterRivalJson(TypedDict):
    """What another method gives."""

    method: str
    value: float
    unit: str
    in_range: bool


class WaterJson(TypedDict):
    """One water calculation."""

    calculation: str
    inputs: dict[str, str]
    results: list[WaterResultJson]
    formulas: list[WaterFormulaJson]
    why: str
    rivals: list[WaterRivalJson]
    warnings: list[str]
    notes: list[str]
