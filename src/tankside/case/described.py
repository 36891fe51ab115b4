"""Entries that describe the case: its opening, what lives in the tank, what changed there."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from tankside.case import typed_value as tv
from tankside.case.dated import Dated
from tankside.case.entry_kind import EntryKind, KindWord, Word
from tankside.case.parts import Count, Instant, Key, Length, Mass, Name, Text, Volume, Water, YesNo
from tankside.case.reader import KEY, PAST_DATE, SYSTEM
from tankside.case.typed_value import ALONE, Door, Fields, Typed
from tankside.case.wording import STATES, Wording, joined, told_text
from tankside.quantity.moment import find_zone

ANY_CHANGE = "anything that changed in the last 14 days"


def _zone(text: str) -> str:
    find_zone(text)
    return text


class Opened(Dated):
    """The case begins: whose tank, what water, where its clock runs."""

    kind: Literal["opened"] = "opened"
    name: Annotated[Name, Word("short name of the case, for example a street", "Elm Road")]
    keeper: Annotated[Name, Word("whose tank it is", "Marta Vell")]
    water: Annotated[Water, Word("fresh, brackish, marine or ? (not known)")]
    zone: Annotated[
        str,
        AfterValidator(_zone),
        Word("time zone of the tank, for example Europe/London", "Europe/London"),
    ]
    place: Annotated[Name | None, Word("where it stands", "hall")] = None
    call: Annotated[Text | None, Word("first report, in the keeper's words")] = None
    country: Annotated[
        Annotated[str, Field(pattern=r"^[A-Z]{2}$")] | None,
        Word("where it stands, for the law: its name or two letters", "GB"),
    ] = None
    practitioner: Annotated[Name | None, Word("who looks after the case")] = None


def _opened_text(entry: Opened, _: Wording) -> str:
    keeper, water = told_text("keeper", entry.keeper), told_text("water", entry.water)
    return joined(entry.name, keeper, water, entry.place, entry.call)


OPENED = EntryKind(model=Opened, text=_opened_text)


class StockDescribed(Dated):
    """A group of animals or plants of one kind; a later entry for the same group renews it."""

    kind: Literal["stock"] = "stock"
    group: Annotated[
        Key,
        Word(
            "short name of the group; left out, made from its name",
            "loach",
            also=("id",),
            read=KEY,
            bare=True,
            required=False,
        ),
    ]
    name: Annotated[Name, Word("what people call them", "clown loach")]
    system: Annotated[Key | None, Word("the water they live in", "main", read=SYSTEM)] = None
    host: Annotated[
        Key | None,
        Word("kind on file that it is, or is most like; ? for none", "goldfish", read=KEY),
    ] = None
    living: Annotated[
        Literal["fish", "invertebrate", "plant"] | None, Word("what they are; left out, fish")
    ] = None
    count: Annotated[Count | None, Word("how many there are now", "2")] = None
    length: Annotated[Length | None, Word("length of one, the shortest if they differ", "9 cm")] = (
        None
    )
    length_to: Annotated[Length | None, Word("length of the longest", "11 cm")] = None
    weight: Annotated[Mass | None, Word("weight of one", "12 g")] = None
    life_stage: Annotated[
        Literal["larva", "fry", "juvenile", "adult"] | None, Word("how old they are")
    ] = None
    arrived: Annotated[Instant | None, Word("day they came", "2026-02-24", read=PAST_DATE)] = None
    quarantined: Annotated[YesNo | None, Word("they were kept apart before")] = None
    gill_damage: Annotated[YesNo | None, Word("their gills are hurt")] = None
    note: Annotated[Text | None, Word("anything else")] = None


def _group_and_name(base: Fields, loose: list[Typed], door: Door) -> None:
    """Make the short name of a group from its name, or its name from the short one.

    A group that is described already keeps the name people gave it.
    """
    del loose
    if "group" not in base and "name" in base:
        base["group"] = tv.slug(str(base["name"]))
    if "group" in base and "name" not in base:
        group = str(base["group"])
        base["name"] = door.groups.get(group) or group.replace("_", " ")


def _stock_text(entry: StockDescribed, _: Wording) -> str:
    count = "" if entry.count is None else f"{entry.count} "
    return joined(
        f"{count}{entry.name}",
        told_text("", entry.length),
        told_text("to", entry.length_to),
        None if entry.arrived is None else f"arrived {entry.arrived[:10]}",
        told_text("quarantined", entry.quarantined),
        entry.note,
    )


STOCK = EntryKind(
    model=StockDescribed,
    text=_stock_text,
    typed_as=(KindWord("stock"),),
    shapes=(_group_and_name,),
    examples=('stock name="clown loach" count=2 length="9 cm" arrived=2026-02-24 quarantined=no',),
    which_system="take",
    before_opening=True,
)


class Event(Dated):
    """Something that changed at the tank, before or during the case.

    Water that dried up and was put back (``water_topped_up``) leaves everything dissolved where it
    was; a part change (``water_changed``) takes its share out.
    """

    kind: Literal["event"] = "event"
    what: Annotated[Text, Word("what changed", "hose left running", required=False)]
    state: Literal["answered", "none", "keeper_does_not_know"] = "answered"
    topic: Annotated[Key | None, Word("one word for it", "hose", read=KEY)] = None
    system: Annotated[Key | None, Word("the water it concerns", "main", read=SYSTEM)] = None
    water_changed: Annotated[
        Volume | None, Word("how much water was changed by it", "80 L", typed="changed")
    ] = None
    water_topped_up: Annotated[
        Volume | None,
        Word("how much water that had dried up was put back", "6 L", typed="topped_up"),
    ] = None


def _event_or_none(base: Fields, loose: list[Typed], door: Door) -> None:
    """Read a value without a key: ``none``, ``?`` or what changed."""
    del door
    for bare in [pair for pair in loose if not pair[0]]:
        state = tv.bare_state(bare[1])
        if state is None and "what" in base:
            continue
        loose.remove(bare)
        base.update({"what": bare[1]} if state is None else {"state": state})
        base.setdefault("what", ANY_CHANGE)


def _event_text(entry: Event, _: Wording) -> str:
    changed = told_text("", entry.water_changed, "changed")
    topped_up = told_text("", entry.water_topped_up, "topped up")
    return joined(entry.what, STATES.get(entry.state), changed, topped_up)


EVENT = EntryKind(
    model=Event,
    text=_event_text,
    typed_as=(KindWord("event"),),
    shapes=(_event_or_none,),
    alone=ALONE,
    which_system="ask",
    which_system_with="water_changed",
    examples=(
        'event what="hose left running" changed="80 L"',
        'event what="evaporated" topped-up="6 L"',
        "event none",
        "event ?",
    ),
    before_opening=True,
    adds_up=lambda entry: entry.state == "answered",
)
