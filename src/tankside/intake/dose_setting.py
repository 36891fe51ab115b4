"""The water, the animals and the container of one amount: typed with it, or told by a case."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

from tankside.case import Amount, CaseView
from tankside.claims import Agent, Knowledge
from tankside.course import (
    BodyKind,
    FilterState,
    InWater,
    LabelEntry,
    StockGroup,
    System,
    Volume,
    VolumeRules,
    volume_from_methods,
)
from tankside.errors import BadInput
from tankside.intake import stock as assemble_stock
from tankside.intake.bodies_of_water import no_volume, residue, systems
from tankside.intake.dose_request import DoseAsk
from tankside.intake.in_water import added_up
from tankside.intake.labels import at_hand, labels_of, read_labels
from tankside.quantity import AMOUNT, DOSE, Kind, parse_quantity
from tankside.quantity.moment import Moment

T = TypeVar("T")

BODY = "main"
UNKNOWN = "?"
READINGS: Mapping[str, tuple[Kind, str]] = {
    "temperature_c": (Kind.TEMPERATURE, "C"),
    "alkalinity_mg_l_caco3": (Kind.ALKALINITY, "mg/L as CaCO3"),
    "ph": (Kind.PH, "pH"),
    "oxygen_mg_l": (Kind.OXYGEN, "mg/L"),
    "salinity_g_l": (Kind.SALINITY, "g/L"),
}
STAGES = ("larva", "fry", "juvenile", "adult")


@dataclass(frozen=True, slots=True)
class Given:
    """What one amount is worked out for: all waters, the one meant, its animals, containers."""

    systems: tuple[System, ...]
    system: System
    stock: tuple[StockGroup, ...]
    labels: Mapping[str, LabelEntry]


def typed_with(facts: Knowledge, ask: DoseAsk, agent: Agent, now: Moment) -> Given:
    """Read what was typed with the amount.

    Raises:
        BadInput: a number, a unit, a date or a choice that is refused; E-DOSE-21 two volumes.
        NotPossible: E-DOSE-20 no volume.
    """
    labels = {}
    if ask.label is not None:
        labels = read_labels(facts, (f"{ask.agent}={ask.label}",), ask.scale, ask.syringe)
        labels = {name: at_hand(label, ask.at_hand, now) for name, label in labels.items()}
    system = _system(facts, ask)
    gills = _yes(ask.gill_damage, "gill_damage")
    stage = _one_of(ask.stage, {stage: stage for stage in STAGES}, "stage")
    stock = tuple(_group(facts, name, stage, gills) for name in ask.animals)
    return Given((system,), system, stock, labels)


def told_by_case(facts: Knowledge, ask: DoseAsk, view: CaseView, now: Moment) -> Given:
    """Take water, animals and container as a case tells them at a moment.

    Raises:
        BadInput: E-DOSE-21 two volumes; E-WORD-02 there is no such water in the case.
        NotPossible: E-DOSE-20 no measured volume.
    """
    waters = systems(view, facts, now)
    by_id = {system.id: system for system in waters}
    if ask.system not in by_id:
        raise BadInput(
            "E-WORD-02",
            "This is not a system of the case whose water was measured.",
            given=ask.system,
            needed="one of: " + ", ".join(by_id),
            next_step="Enter its volume, or name another.",
            field="system",
        )
    stock = tuple(group for group in assemble_stock.stock(view, facts) if group.body in by_id)
    return Given(waters, by_id[ask.system], stock, labels_of(view, facts, now))


def _system(facts: Knowledge, ask: DoseAsk) -> System:
    if ask.volume is None:
        raise no_volume()
    rules = VolumeRules(
        facts.number("practice.course.volume_ask_difference"),
        facts.number("practice.course.volume_stop_difference"),
    )
    first = parse_quantity(ask.volume, Kind.VOLUME, field="volume").number("L")
    second = ask.second_volume and parse_quantity(
        ask.second_volume, Kind.VOLUME, field="second volume"
    ).number("L")
    water = volume_from_methods(first, second or None, rules, "as typed")
    found = _read(ask.readings)
    return System(
        id=BODY,
        name="the tank",
        kind=BodyKind.FISHLESS if ask.fishless else BodyKind.MAIN,
        volume=water,
        water=_one_of(
            ask.choices.get("water"),
            {name: name for name in ("fresh", "brackish", "marine")},
            "water",
        ),
        temperature_c=found.get("temperature_c"),
        alkalinity_mg_l_caco3=found.get("alkalinity_mg_l_caco3"),
        ph=found.get("ph"),
        oxygen_mg_l=found.get("oxygen_mg_l"),
        salinity_g_l=found.get("salinity_g_l"),
        carbon_in=_yes(ask.choices.get("carbon"), "carbon"),
        filter_state=_filter(ask.choices.get("filter")),
        invertebrates=_yes(ask.choices.get("invertebrates"), "invertebrates"),
        plants=_yes(ask.choices.get("plants"), "plants"),
        food_fish=_yes(ask.choices.get("food_fish"), "food_fish"),
        residues=added_up(_in_water(facts, text, water) for text in ask.in_water),
    )


def _in_water(facts: Knowledge, text: str, water: Volume) -> InWater:
    name, parted, amount = text.partition("=")
    if not parted or not name.strip():
        raise BadInput(
            "E-WORD-01",
            "Say what is in the water already, and how much.",
            given=text,
            needed='for example "formalin=5 g", "salt=0.9 g/L", or "formalin=?" when nobody knows',
            next_step="Type it again.",
            field="in_water",
        )
    if amount.strip() == UNKNOWN:
        return residue(facts, name, None, water, 0.0)
    read = parse_quantity(amount, (*AMOUNT, *DOSE), field="amount")
    return residue(facts, name, Amount.of(read), water, 0.0)


def _read(typed: Mapping[str, str | None]) -> dict[str, float]:
    return {
        name: parse_quantity(text, READINGS[name][0], field=name).number(READINGS[name][1])
        for name, text in typed.items()
        if text is not None
    }


def _yes(text: str | None, field: str) -> bool | None:
    return _one_of(text, {"yes": True, "no": False}, field)


def _filter(text: str | None) -> FilterState | None:
    return _one_of(text, {"ripe": FilterState.RIPE, "unripe": FilterState.UNRIPE}, "filter")


def _one_of(text: str | None, choices: Mapping[str, T], field: str) -> T | None:
    if text is None:
        return None
    if text not in choices:
        raise BadInput(
            "E-WORD-02",
            "This choice is not known.",
            given=text,
            needed=" or ".join(choices),
            next_step="Leave it out when nobody knows.",
            field=field,
        )
    return choices[text]


def _group(facts: Knowledge, name: str, stage: str | None, gills: bool | None) -> StockGroup:
    host = assemble_stock.find_host(facts.hosts, None, name)
    known = None if host is None else host.id
    return StockGroup(known or name.strip().lower(), known, name, 1, None, None, BODY, stage, gills)
