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
    NewWater,
    StockGroup,
    System,
    Volume,
    volume_from_methods,
)
from tankside.course.bodies.system import Treated
from tankside.errors import BadInput, NotPossible
from tankside.intake import stock as assemble_stock
from tankside.intake.bodies_of_water import (
    body_of_water,
    no_volume,
    unmeasured,
    water_of_no_volume,
)
from tankside.intake.dose_request import DoseRequest
from tankside.intake.in_water import added_up, residue
from tankside.intake.joined_account import NOMINAL
from tankside.intake.joined_waters import joined_waters
from tankside.intake.labels import at_hand, labels_of, read_labels
from tankside.intake.species import find_host
from tankside.intake.unplaced import refuse_unplaced
from tankside.intake.volumes import volume_rules
from tankside.intake.whereabouts import Whereabouts
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
class DoseSetting:
    """What one amount is worked out for: all waters, the one meant, its animals, containers.

    ``no_volume`` is the refusal where nobody measured the water: its volume is then a stand-in, and
    only what else is not known can be read from it.
    """

    systems: tuple[System, ...]
    system: System
    stock: tuple[StockGroup, ...]
    labels: Mapping[str, LabelEntry]
    no_volume: NotPossible | None = None


def setting_as_typed(
    facts: Knowledge, request: DoseRequest, agent: Agent, now: Moment
) -> DoseSetting:
    """Read what was typed with the amount.

    Raises:
        BadInput: a number, a unit, a date or a choice that is refused; E-DOSE-21 two volumes.
    """
    labels = {}
    if request.label is not None:
        labels = read_labels(
            facts,
            (f"{request.agent}={request.label}",),
            request.scale,
            request.syringe,
            request.density,
        )
        labels = {name: at_hand(label, request.at_hand, now) for name, label in labels.items()}
    system = _system(facts, request)
    gills = _yes(request.gill_damage, "gill_damage")
    stage = _one_of(request.stage, {stage: stage for stage in STAGES}, "stage")
    stock = tuple(_group(facts, name, stage, gills) for name in request.animals)
    missing = no_volume() if request.volume is None else None
    return DoseSetting((system,), system, stock, labels, missing)


def setting_of_case(
    facts: Knowledge, request: DoseRequest, view: CaseView, now: Moment
) -> DoseSetting:
    """Take water, animals and container as a case tells them at a moment.

    Only what lives in the water meant, and in the waters joined to it, bears on the amount.

    Raises:
        BadInput: E-DOSE-21 two volumes; E-WORD-02 there is no such water in the case.
        NotPossible: E-DOSE-20 nobody said where animals live.
    """
    refuse_unplaced(view)
    labels = labels_of(view, facts, now)
    if view.main is None:
        water = water_of_no_volume(view, facts, now, ())
        living = assemble_stock.stock(view, facts, lambda _: (water.id,))
        return DoseSetting((water,), water, living, labels, no_volume())
    parts = joined_waters(view).now(system_asked(view, request))
    missing = unmeasured(view, parts)
    if missing:
        water = water_of_no_volume(view, facts, now, parts)
    else:
        water = body_of_water(view, facts, now, parts)
    where = Whereabouts(view, facts)
    living = assemble_stock.stock(view, facts, lambda group: where.homes(group, now))
    here = tuple(group for group in living if group.body == water.id)
    refusal = no_volume(missing, parts) if missing else None
    return DoseSetting((water,), water, here, labels, refusal)


def system_asked(view: CaseView, request: DoseRequest) -> str:
    """Return the system an amount of a case is for: as typed, else that of the sick fish.

    Raises:
        BadInput: E-WORD-02 there is no such system in the case.
        NotPossible: E-DOSE-20 no system is described.
    """
    if view.main is None:
        raise no_volume()
    if request.system is not None:
        if request.system in view.systems:
            return request.system
        raise BadInput(
            "E-WORD-02",
            "This is not a system of the case.",
            given=request.system,
            needed="one of: " + ", ".join(view.systems),
            next_step="Enter its volume, or name another.",
            field="system",
        )
    return view.main.id


def _system(facts: Knowledge, request: DoseRequest) -> System:
    water = _volume(facts, request)
    readings = _read(request.readings)
    return System(
        id=BODY,
        name="the tank",
        kind=BodyKind.FISHLESS if request.fishless else BodyKind.MAIN,
        volume=water,
        water=_one_of(
            request.choices.get("water"),
            {name: name for name in ("fresh", "brackish", "marine")},
            "water",
        ),
        temperature_c=readings.get("temperature_c"),
        alkalinity_mg_l_caco3=readings.get("alkalinity_mg_l_caco3"),
        ph=readings.get("ph"),
        oxygen_mg_l=readings.get("oxygen_mg_l"),
        salinity_g_l=readings.get("salinity_g_l"),
        carbon_in=_yes(request.choices.get("carbon"), "carbon"),
        filter_state=_filter(request.choices.get("filter")),
        invertebrates=_yes(request.choices.get("invertebrates"), "invertebrates"),
        plants=_yes(request.choices.get("plants"), "plants"),
        food_fish=_yes(request.choices.get("food_fish"), "food_fish"),
        new_water=NewWater(
            treated=_one_of(
                request.choices.get("tap"), {treated.value: treated for treated in Treated}, "tap"
            )
        ),
        residues=added_up(_in_water(facts, text, water) for text in request.in_water),
    )


def _volume(facts: Knowledge, request: DoseRequest) -> Volume:
    """Return the volume typed; a stand-in where none was."""
    if request.volume is None:
        return NOMINAL
    first = parse_quantity(request.volume, Kind.VOLUME, field="volume").number("L")
    second = request.second_volume and parse_quantity(
        request.second_volume, Kind.VOLUME, field="second volume"
    ).number("L")
    return volume_from_methods(first, second or None, volume_rules(facts), "as typed")


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
    host = find_host(facts.hosts, None, name)
    kind = None if host is None else host.id
    return StockGroup(kind or name.strip().lower(), kind, name, 1, None, None, BODY, stage, gills)
