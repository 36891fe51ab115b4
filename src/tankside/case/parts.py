"""The small typed pieces that entries are made of; each checks itself against the strict parser."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    JsonValue,
    model_validator,
)

from tankside.errors import BadInput
from tankside.quantity import (
    AMOUNT,
    DOSE,
    Kind,
    Measured,
    check_share,
    measured,
    parse_number,
    whole_count,
)
from tankside.quantity.moment import check_stored

LONGEST_NAME = 200
LONGEST_TEXT = 10_000
_BIDI = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Part(BaseModel):
    """A strict, unchangeable piece of an entry: no unknown field, no silent conversion."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


def _refuse_text(message: str, typed: str, needed: str, code: str = "E-TEXT-01") -> BadInput:
    next_step = "Type it again; nothing was saved."
    return BadInput(code, message, given=typed, needed=needed, next_step=next_step)


def _plain(text: str) -> bool:
    """Whether a text holds plain visible letters only, which need no closer look."""
    return text.isascii() and text.isprintable()


def check_name(text: str) -> str:
    """Check a short name: any script, one line, no control or direction signs.

    Raises:
        BadInput: E-PATH-01.
    """
    hidden = not _plain(text) and any(
        unicodedata.category(c) in ("Cc", "Cs") or c in _BIDI for c in text
    )
    if hidden or not text.strip() or len(text) > LONGEST_NAME:
        needed = f"1 to {LONGEST_NAME} visible characters on one line"
        raise _refuse_text("This cannot be used as a name.", text, needed, "E-PATH-01")
    return text


def check_text(text: str) -> str:
    """Check a longer text: at most 10,000 signs, line breaks allowed, no control signs.

    Raises:
        BadInput: E-TEXT-01.
    """
    bad = not _plain(text) and any(
        unicodedata.category(c) in ("Cc", "Cs") and c not in "\n\t" for c in text
    )
    if bad or not text.strip() or len(text) > LONGEST_TEXT:
        needed = f"1 to {LONGEST_TEXT} characters without control characters"
        raise _refuse_text("This text cannot be kept.", text, needed)
    return text


def check_file_name(text: str) -> str:
    """Check the bare name of a file (a photo): no folder, no hidden or direction signs.

    Raises:
        BadInput: E-PATH-01.
    """
    check_name(text)
    if re.search(r"[\\/:]", text) or text.strip(".") == "":
        raise _refuse_text(
            "Give the name of the file without its folder.", text, "a.jpg", "E-PATH-01"
        )
    return text


def check_key(text: str) -> str:
    """Check a short id: letters, digits, underscore, hyphen, point.

    Raises:
        BadInput: E-PATH-01.
    """
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,79}", text):
        needed = "letters, digits, _ - and ., at most 80"
        raise _refuse_text("This cannot be used as a short id.", text, needed, "E-PATH-01")
    return text


def _published(**rules: JsonValue) -> Any:  # noqa: ANN401 (the framework's marker has no public type)
    """Say a rule in the published schema only; the validator beside it gives the stable code."""
    return Field(json_schema_extra=dict(rules))


def _count(value: object) -> int:
    return whole_count(value, field="count")


def _number_text(value: str) -> str:
    parse_number(value, field="value", negative=True)
    return value


_KEY_SHAPE = r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,79}$"
_NUMBER_SHAPE = r"^-?(0|[1-9][0-9]*)(\.[0-9]+)?$"

Name = Annotated[str, AfterValidator(check_name), _published(maxLength=LONGEST_NAME)]
Text = Annotated[str, AfterValidator(check_text), _published(maxLength=LONGEST_TEXT)]
Key = Annotated[str, AfterValidator(check_key), _published(pattern=_KEY_SHAPE)]
FileName = Annotated[str, AfterValidator(check_file_name), _published(maxLength=LONGEST_NAME)]
Count = Annotated[int, BeforeValidator(_count), _published(minimum=0)]
NumberText = Annotated[str, AfterValidator(_number_text), _published(pattern=_NUMBER_SHAPE)]
Instant = Annotated[str, AfterValidator(lambda text: check_stored(text, field="time"))]

Names = Annotated[tuple[Name, ...], Field(strict=False)]
Water = Literal["fresh", "brackish", "marine", "keeper_does_not_know"]

YesNo = Literal["yes", "no", "keeper_does_not_know"]
"""An answer to a plain question; a question that was not asked is absent."""


class State(StrEnum):
    """How far a question was answered. Absent altogether means it was not asked."""

    ANSWERED = "answered"
    NONE = "none"
    NOT_LOOKED = "not_looked"
    KEEPER_DOES_NOT_KNOW = "keeper_does_not_know"


StateText = Literal["answered", "none", "not_looked", "keeper_does_not_know"]


class Reading(StrEnum):
    """What a water test reads."""

    TEMPERATURE = "temperature"
    PH = "ph"
    AMMONIA = "ammonia"
    NITRITE = "nitrite"
    NITRATE = "nitrate"
    ALKALINITY = "alkalinity"
    HARDNESS = "hardness"
    OXYGEN = "oxygen"
    SALINITY = "salinity"
    CHLORIDE = "chloride"
    CHLORINE = "chlorine"
    CARBON_DIOXIDE = "carbon_dioxide"
    COPPER = "copper"
    CONDUCTIVITY = "conductivity"


READING_KINDS: dict[Reading, tuple[Kind, ...]] = {
    Reading.TEMPERATURE: (Kind.TEMPERATURE,),
    Reading.PH: (Kind.PH,),
    Reading.AMMONIA: (Kind.AMMONIA,),
    Reading.NITRITE: (Kind.NITRITE,),
    Reading.NITRATE: (Kind.NITRATE,),
    Reading.ALKALINITY: (Kind.ALKALINITY,),
    Reading.HARDNESS: (Kind.HARDNESS,),
    Reading.OXYGEN: (Kind.OXYGEN, Kind.OXYGEN_SATURATION),
    Reading.SALINITY: (Kind.SALINITY, Kind.PRACTICAL_SALINITY),
    Reading.CHLORIDE: (Kind.CHLORIDE,),
    Reading.CHLORINE: (Kind.CHLORINE,),
    Reading.CARBON_DIOXIDE: (Kind.CARBON_DIOXIDE,),
    Reading.COPPER: (Kind.COPPER,),
    Reading.CONDUCTIVITY: (Kind.CONDUCTIVITY,),
}


class Amount(Part):
    """A number with its unit, as typed: ``{"value": "7.0", "unit": "mg/L", "basis": "as N"}``."""

    value: NumberText
    unit: str
    basis: str | None = None

    @classmethod
    def of(cls, typed: Measured) -> Amount:
        """Keep a number that the strict parser has read."""
        return cls(value=typed.value, unit=typed.unit.symbol, basis=typed.unit.basis or None)

    def measured(self, *kinds: Kind, field: str = "amount") -> Measured:
        """Read the amount as one of the kinds it may be.

        Raises:
            BadInput: E-NUM-*, E-UNIT-*, E-RANGE-01.
        """
        unit = f"{self.unit} {self.basis}" if self.basis else self.unit
        return measured(self.value, unit, kinds, field=field)


@dataclass(frozen=True, slots=True)
class HeldTo:
    """Holds an amount to some kinds of quantity."""

    kinds: tuple[Kind, ...]

    def __call__(self, value: Amount) -> Amount:
        """Return the amount when it is of one of the kinds; raises like ``measured``."""
        value.measured(*self.kinds, field=self.kinds[0].value)
        return value


def amount_of(*kinds: Kind) -> object:
    """Return the annotation marker that holds an amount to some kinds of quantity."""
    return AfterValidator(HeldTo(kinds))


PUT_IN = (*AMOUNT, *DOSE)
"""Kinds in which it is told how much of a substance is in the water."""


Length = Annotated[Amount, amount_of(Kind.LENGTH)]
Volume = Annotated[Amount, amount_of(Kind.VOLUME)]
Mass = Annotated[Amount, amount_of(Kind.MASS)]
Density = Annotated[Amount, amount_of(Kind.DENSITY)]
Temperature = Annotated[Amount, amount_of(Kind.TEMPERATURE)]
Time = Annotated[Amount, amount_of(Kind.TIME)]
Flow = Annotated[Amount, amount_of(Kind.FLOW)]
SalinityRise = Annotated[Amount, amount_of(Kind.SALINITY)]
MassOrVolume = Annotated[Amount, amount_of(*AMOUNT)]
PutIn = Annotated[Amount, amount_of(*PUT_IN)]


class WaterReading(Part):
    """One line of a water test: a value as typed, or why there is none."""

    what: Annotated[Reading, Field(strict=False)]
    state: StateText = "answered"
    amount: Amount | None = None

    @model_validator(mode="after")
    def _whole(self) -> WaterReading:
        if (self.state == "answered") != (self.amount is not None):
            message = "A reading needs a value, or the reason why there is none."
            needed = "an amount with state answered, none with any other state"
            raise _refuse_text(message, self.what, needed)
        if self.amount is not None:
            self.amount.measured(*READING_KINDS[self.what], field=self.what.value)
        return self


class Looked(Part):
    """The answer to one finding: which answers fit, or none, not looked, not known.

    ``answers`` may hold several allowed answers when the looker could not tell them apart;
    ``number`` is how many were seen, where it was counted; ``examined`` and ``infected`` the fish
    looked at and those that showed any.
    """

    finding: Key
    state: StateText
    answers: Annotated[tuple[Key, ...], Field(strict=False)] = ()
    number: Count | None = None
    examined: Count | None = None
    infected: Count | None = None

    @model_validator(mode="after")
    def _whole(self) -> Looked:
        if (self.examined is None) != (self.infected is None):
            message = "Say how many were looked at and how many of them showed any."
            raise _refuse_text(message, self.finding, "2 of 5", "E-CASE-04")
        if self.infected is not None and self.examined is not None:
            names = {"part_name": "fish that show it", "whole_name": "fish looked at"}
            check_share(self.infected, self.examined, **names, field=self.finding)
            if (self.infected == 0) != (self.state == "none"):
                message = "None of the fish showing it is the answer none, and no other."
                raise _refuse_text(message, self.finding, "none, or at least 1 of them")
        if (self.state == "answered") != bool(self.answers):
            needed = "answers with state answered, none with any other state"
            message = "A finding needs an answer, or the reason why there is none."
            raise _refuse_text(message, self.finding, needed)
        if len(set(self.answers)) != len(self.answers):
            raise _refuse_text("An answer is given twice.", self.finding, "each once", "E-DUP-01")
        return self
