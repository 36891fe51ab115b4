"""The tank: what is told of a body of water, each property declared once.

A property is a field of ``SystemDescribed`` with its ``Property``: the typed word, how it is
shown and whether it is asked of every system. Help, forms, history and the page of the tank take
it from there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from tankside.case import typed_value as tv
from tankside.case.dated import Dated
from tankside.case.entry_kind import EntryKind, KindWord, TypedWord, Word, typed_words
from tankside.case.parts import (
    Flow,
    Key,
    Length,
    Name,
    Names,
    Temperature,
    Text,
    Time,
    Water,
    YesNo,
)
from tankside.case.reader import KEY, Input, Reader
from tankside.case.typed_value import Door, Fields, Typed, refuse
from tankside.case.volume import Geometry, Method
from tankside.case.wording import STATES, Wording, joined, plain, value_text
from tankside.quantity import Kind
from tankside.quantity.show import NO_BREAK

ClockTime = Annotated[str, Field(pattern=r"^([01][0-9]|2[0-3]):[0-5][0-9]$")]


@dataclass(frozen=True, slots=True)
class Property(Word):
    """A property of a tank: a typed word that is also shown as ``label: value``.

    Args:
        remark: what is written in brackets behind the value where the tank is shown.
        asked: its place among what is asked of every system; 0 is not asked of every one.
        question: how it is asked for.
    """

    remark: str = ""
    asked: int = 0
    question: str = ""


class SystemDescribed(Dated):
    """Water that is shared; a later entry for the same system adds to or renews its fields."""

    kind: Literal["system"] = "system"
    system: Annotated[
        Key, Word("short name of the water", "main", typed="id", read=KEY, bare=True)
    ] = "main"
    name: Annotated[Name | None, Word("what people call it", "show tank")] = None
    use: Annotated[
        Literal["main", "hospital", "quarantine", "fishless", "bath"] | None,
        Word("what it serves for"),
    ] = None
    water: Annotated[Water | None, Property("kind of water, where it differs")] = None
    volume: Annotated[tuple[Method, ...], Field(strict=False)] = ()
    volume_by: Annotated[
        Literal["geometry", "hose", "salt_rise", "meter"] | None,
        Property("which measured volume amounts are worked out for"),
    ] = None
    surface_length: Annotated[Length | None, Property("length of the surface", "118 cm")] = None
    surface_width: Annotated[Length | None, Property("width of the surface", "38 cm")] = None
    turnover: Annotated[Flow | None, Property("flow through the filter", "600 L/h")] = None
    filter: Annotated[Text | None, Property("kind of filter", "external")] = None
    filter_ripe: Annotated[
        YesNo | None,
        Property(
            "the filter has run for weeks with fish",
            asked=3,
            question="Is the filter ripe (running for weeks with fish)?",
        ),
    ] = None
    carbon: Annotated[
        YesNo | None,
        Property("carbon is in the filter", asked=1, question="Is carbon in the filter?"),
    ] = None
    substrate: Annotated[
        YesNo | None, Property("rock, sand, gravel or coral skeleton is in it")
    ] = None
    uv: Annotated[
        YesNo | None,
        Property("a UV unit is running", asked=2, question="Is a UV unit running?"),
    ] = None
    ozone: Annotated[YesNo | None, Property("ozone is given")] = None
    skimmer: Annotated[YesNo | None, Property("a protein skimmer is running")] = None
    air_stone: Annotated[
        YesNo | None,
        Property("an air stone is running", asked=4, question="Is an air stone running?"),
    ] = None
    plants: Annotated[
        YesNo | None,
        Property("live plants are in it", asked=5, question="Are live plants in it?"),
    ] = None
    invertebrates: Annotated[
        YesNo | None,
        Property(
            "shrimps, snails, corals or the like are in it",
            asked=6,
            question="Are invertebrates in it?",
        ),
    ] = None
    carbon_dioxide_added: Annotated[
        YesNo | None, Property("carbon dioxide is given to the plants", typed="co2")
    ] = None
    food_fish: Annotated[YesNo | None, Property("its fish may be eaten by people")] = None
    heater_dial: Annotated[
        Temperature | None,
        Property("what the dial says", "28 C", remark="the dial; read the thermometer"),
    ] = None
    temperature_low: Annotated[
        Temperature | None, Property("lowest it gets in a day", "24 C", typed="lowest")
    ] = None
    temperature_high: Annotated[
        Temperature | None, Property("highest it gets in a day", "26 C", typed="highest")
    ] = None
    room: Annotated[Temperature | None, Property("warmth of the room", "21 C")] = None
    lights_on: Annotated[ClockTime | None, Property("when the light goes on", "09:00")] = None
    lights_off: Annotated[ClockTime | None, Property("when the light goes off", "19:30")] = None
    shares_water_with: Annotated[
        Names, Property("other waters joined to it, or none", "sump", typed="shares_water")
    ] = ()
    shared_tools: Annotated[Names, Property("tools used in other tanks too", "net, siphon")] = ()
    conditioner: Annotated[YesNo | None, Property("a conditioner binds its ammonia")] = None
    tap: Annotated[
        Literal["none", "chlorine", "chloramine", "keeper_does_not_know"] | None,
        Property(
            "what the water for changes was treated with before it came",
            asked=7,
            question="Was the tap water treated (none, chlorine or chloramine)?",
        ),
    ] = None
    overflow: Annotated[
        YesNo | None, Property("new water runs in and old water runs away over an overflow")
    ] = None
    inflow: Annotated[Flow | None, Property("how much new water runs in", "30 L/h")] = None
    inflow_off: Annotated[
        Time | None, Property("how long the inflow may be shut without harm", "6 h")
    ] = None
    note: Annotated[Text | None, Property("anything else")] = None


_SIDES = ("inside_length", "inside_width", "water_height")
_ROOMS = ("takes_away", "adds")
_BOX = tuple(TypedWord(word.name, word.declared, word.read) for word in typed_words(Geometry))


def _by(method: str, help: str, example: str) -> TypedWord:
    """Return the word of a volume that is one figure."""
    reader = Reader(tv.told(method), Input.AMOUNT, (Kind.VOLUME,))
    return TypedWord(method, Word(help, example), reader)


_METHODS = (
    TypedWord(
        "hose",
        Word("flow of a hose and how long it ran", "14 L/min for 12.5 min"),
        Reader(tv.hose),
    ),
    TypedWord(
        "salt_rise",
        Word("salt weighed in and the rise it caused", "500 g raised 0.90 g/L"),
        Reader(tv.salt_rise),
    ),
    _by("meter", "by a water meter, or in buckets", "175 L"),
    _by("label", "as the label says; never used for doses", "216 L"),
    _by("keeper_says", "as the keeper says; never used for doses", "40 US gal"),
)


def _volume(base: Fields, loose: list[Typed], door: Door) -> None:
    """Put the sides of the box together, and every way of measuring in the order typed."""
    del loose, door
    named = {word.name for word in _METHODS}
    box = {name: base.pop(name) for name in list(base) if name in (*_SIDES, *_ROOMS)}
    stated = [base.pop(name) for name in list(base) if name in named]
    if box:
        missing = [name for name in _SIDES if name not in box]
        if missing:
            needed = ", ".join(_SIDES).replace("_", "-")
            message = "A volume from its sides needs length, width and height."
            raise refuse("E-WORD-03", message, ", ".join(box), needed, missing[0])
        rooms: Fields = {name: [] for name in _ROOMS}
        stated.insert(0, {"method": "geometry", **rooms, **box})
    if stated:
        base["volume"] = stated
    if not base.keys() - {"kind", "occurred_at", "day_only", "system"}:
        needed = "a volume, carbon=yes, or another key"
        message = "Nothing was entered about this system."
        raise refuse("E-WORD-03", message, "", needed, "system")


def _properties(model: type[SystemDescribed]) -> Iterator[tuple[TypedWord, Property]]:
    return (
        (word, word.declared) for word in typed_words(model) if isinstance(word.declared, Property)
    )


QUESTIONS: Mapping[str, str] = {
    word.name: stated.question
    for word, stated in sorted(_properties(SystemDescribed), key=lambda pair: pair[1].asked)
    if stated.asked
}
"""What is asked of every system and how it is asked, the most needed first."""


def properties_told(entry: SystemDescribed) -> Iterator[tuple[str, str, str]]:
    """Yield label, value and remark of every property of a tank that was told."""
    for word, stated in _properties(type(entry)):
        value = getattr(entry, word.name)
        if word.name in entry.not_known:
            yield word.label, STATES["keeper_does_not_know"], stated.remark
        elif value not in (None, ()):
            yield word.label, value_text(value), stated.remark


def _text(entry: SystemDescribed, _: Wording) -> str:
    volumes = (
        f"{plain(method.method)} {method.litres():.1f}".removesuffix(".0") + f"{NO_BREAK}L"
        for method in entry.volume
    )
    stated = entry.model_copy(update={"not_known": ()})
    properties = (f"{label} {value}" for label, value, _ in properties_told(stated))
    return joined(entry.system, entry.name, entry.use, *volumes, *properties)


SYSTEM = EntryKind(
    model=SystemDescribed,
    text=_text,
    typed_as=(KindWord("system"),),
    gathered=(*_BOX, *_METHODS),
    shapes=(_volume,),
    examples=(
        'system inside-length="118 cm" inside-width="38 cm" water-height="41 cm"'
        ' takes-away="11 L gravel" hose="14 L/min for 12.5 min" carbon=yes uv=?',
    ),
    before_opening=True,
)
