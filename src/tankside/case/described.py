"""Entries that describe the tank: the opening, its waters, what lives in it, what changed."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from tankside.case.dated import Dated
from tankside.case.parts import (
    Count,
    Flow,
    Instant,
    Key,
    Length,
    Mass,
    Name,
    Temperature,
    Text,
    Volume,
    YesNo,
)
from tankside.case.volume import Method
from tankside.quantity.moment import find_zone

Names = Annotated[tuple[Name, ...], Field(strict=False)]
Water = Literal["fresh", "brackish", "marine", "keeper_does_not_know"]


def _zone(text: str) -> str:
    find_zone(text)
    return text


class Opened(Dated):
    """The case begins: whose tank, what water, where its clock runs."""

    kind: Literal["opened"] = "opened"
    name: Name
    keeper: Name
    water: Water
    zone: Annotated[str, AfterValidator(_zone)]
    place: Name | None = None
    call: Text | None = None
    country: Annotated[str, Field(pattern=r"^[A-Z]{2}$")] | None = None
    practitioner: Name | None = None


class SystemDescribed(Dated):
    """Water that is shared; a later entry for the same system adds to or renews its fields."""

    kind: Literal["system"] = "system"
    system: Key = "main"
    name: Name | None = None
    use: Literal["main", "hospital", "quarantine", "fishless", "bath"] | None = None
    water: Water | None = None
    volume: Annotated[tuple[Method, ...], Field(strict=False)] = ()
    volume_by: Literal["geometry", "hose", "salt_rise", "meter"] | None = None
    surface_length: Length | None = None
    surface_width: Length | None = None
    turnover: Flow | None = None
    filter: Text | None = None
    filter_ripe: YesNo | None = None
    carbon: YesNo | None = None
    uv: YesNo | None = None
    ozone: YesNo | None = None
    skimmer: YesNo | None = None
    air_stone: YesNo | None = None
    plants: YesNo | None = None
    invertebrates: YesNo | None = None
    carbon_dioxide_added: YesNo | None = None
    food_fish: YesNo | None = None
    heater_dial: Temperature | None = None
    temperature_low: Temperature | None = None
    temperature_high: Temperature | None = None
    room: Temperature | None = None
    lights_on: Annotated[str, Field(pattern=r"^([01][0-9]|2[0-3]):[0-5][0-9]$")] | None = None
    lights_off: Annotated[str, Field(pattern=r"^([01][0-9]|2[0-3]):[0-5][0-9]$")] | None = None
    shares_water_with: Names = ()
    shared_tools: Names = ()
    conditioner: YesNo | None = None
    note: Text | None = None


class StockDescribed(Dated):
    """A group of animals or plants of one kind; a later entry for the same group renews it."""

    kind: Literal["stock"] = "stock"
    group: Key
    name: Name
    system: Key | None = None
    host: Key | None = None
    living: Literal["fish", "invertebrate", "plant"] | None = None
    count: Count | None = None
    length: Length | None = None
    length_to: Length | None = None
    weight: Mass | None = None
    life_stage: Literal["larva", "fry", "juvenile", "adult"] | None = None
    arrived: Instant | None = None
    quarantined: YesNo | None = None
    gill_damage: YesNo | None = None
    note: Text | None = None


class Event(Dated):
    """Something that changed at the tank, before or during the case."""

    kind: Literal["event"] = "event"
    what: Text
    state: Literal["answered", "none", "keeper_does_not_know"] = "answered"
    topic: Key | None = None
    system: Key | None = None
    water_changed: Volume | None = None
