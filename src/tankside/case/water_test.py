"""A water test: the readings of one water at one time, each reading declared once."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from tankside.case.dated import Dated
from tankside.case.entry_kind import EntryKind, KindWord, TypedWord, Word
from tankside.case.parts import READING_KINDS, Key, Name, Reading, Text, WaterReading, YesNo
from tankside.case.reader import CHECKED, SYSTEM, reading
from tankside.case.typed_value import Door, Fields, Typed, refuse
from tankside.case.wording import STATES, Wording, amount_text, joined, told_text
from tankside.errors import BadInput


class WaterTest(Dated):
    """Readings of one water at one time."""

    kind: Literal["water_test"] = "water_test"
    system: Annotated[Key, Word("the water that was tested", "main", read=SYSTEM)] = "main"
    sample: Annotated[
        Literal["tank", "tap", "bag"], Word("where it was taken; left out, the tank")
    ] = "tank"
    readings: Annotated[tuple[WaterReading, ...], Field(strict=False, min_length=1)]
    kit: Annotated[Name | None, Word("what it was tested with", "drop test")] = None
    copper_form: Annotated[
        Literal["free", "total"] | None,
        Word("which copper the kit reads: free, or total with what is bound (chelated)"),
    ] = None
    conditioner: Annotated[YesNo | None, Word("a conditioner was in the water")] = None
    checked: Annotated[
        str | None,
        Field(pattern=r"^(never|[0-9]{4}-[0-9]{2}-[0-9]{2}.*)$"),
        Word(
            "day on which meter or kit was last checked against something sure, or never",
            "2026-02-20",
            read=CHECKED,
        ),
    ] = None
    dawn: Annotated[YesNo | None, Word("it was taken before the light went on")] = None
    note: Annotated[Text | None, Word("anything else")] = None

    @model_validator(mode="after")
    def _once(self) -> WaterTest:
        what = [reading.what for reading in self.readings]
        if len(set(what)) != len(what):
            raise BadInput(
                "E-DUP-01",
                "The same reading is given twice in one test.",
                given=", ".join(what),
                needed="each reading once",
                next_step="Keep the right one; nothing was saved.",
                field="readings",
            )
        return self


_READINGS = {
    Reading.TEMPERATURE: Word("by a thermometer", "25.5 C"),
    Reading.PH: Word("pH", "7.4"),
    Reading.AMMONIA: Word("total ammonia", "0.3 mg/L as N"),
    Reading.NITRITE: Word("nitrite", "0 mg/L as N"),
    Reading.NITRATE: Word("nitrate", "30 mg/L as NO3"),
    Reading.ALKALINITY: Word("alkalinity (carbonate hardness)", "5 dH", also=("kh",)),
    Reading.HARDNESS: Word("total hardness", "8 dH", also=("gh",)),
    Reading.OXYGEN: Word("oxygen in the water", "7.2 mg/L", also=("do",)),
    Reading.SALINITY: Word("salinity", "35 psu"),
    Reading.CHLORIDE: Word("chloride", "25 mg/L"),
    Reading.CHLORINE: Word("chlorine", "0 mg/L"),
    Reading.CARBON_DIOXIDE: Word("carbon dioxide", "15 mg/L", also=("co2",)),
    Reading.COPPER: Word("copper", "0.18 mg/L as Cu"),
    Reading.CONDUCTIVITY: Word("conductivity", "450 uS/cm"),
}
_WORDS = tuple(
    TypedWord(what.value, stated, reading(*READING_KINDS[what]))
    for what, stated in _READINGS.items()
)


def _readings(base: Fields, loose: list[Typed], door: Door) -> None:
    """Put the readings together in the order typed."""
    del door
    named = {word.name for word in _WORDS}
    lines = {name: base.pop(name) for name in list(base) if name in named}
    stated = [{"what": name, **line} for name, line in lines.items() if isinstance(line, dict)]
    if stated:
        base["readings"] = stated
    elif not loose:
        needed = 'for example temperature="25.5 C"'
        raise refuse("E-NUM-01", "A water test needs a reading.", "", needed, "water")


def _reading_text(line: WaterReading) -> str:
    stated = STATES.get(line.state) if line.amount is None else amount_text(line.amount)
    return f"{line.what.value} {stated}"


def _check_text(checked: str | None) -> str | None:
    if checked is None:
        return None
    return "never checked" if checked == "never" else f"checked {checked[:10]}"


def _text(entry: WaterTest, _: Wording) -> str:
    sample = "" if entry.sample == "tank" else f"{entry.sample} water"
    read = None if entry.copper_form is None else f"{entry.copper_form} copper"
    return joined(
        sample,
        *map(_reading_text, entry.readings),
        told_text("kit", entry.kit),
        read,
        "at dawn" if entry.dawn == "yes" else None,
        _check_text(entry.checked),
    )


WATER_TEST = EntryKind(
    model=WaterTest,
    text=_text,
    typed_as=(KindWord("water"),),
    gathered=_WORDS,
    shapes=(_readings,),
    examples=(
        'water temperature="25.5 C" ph=7.4 ammonia="0.3 mg/L as N" nitrite=? oxygen=not-looked',
    ),
    which_system="ask",
    observed=True,
)
