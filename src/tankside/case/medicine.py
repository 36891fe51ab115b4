"""Entries that hold a container as its label says, and one amount that is asked for."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from tankside.case.dated import Dated
from tankside.case.parts import (
    FileName,
    Key,
    Mass,
    Name,
    Part,
    Text,
    Time,
    Volume,
    YesNo,
    check_name,
)
from tankside.errors import BadInput
from tankside.quantity.moment import parse_date

SEEN_TO = (
    "buffer", "clear_solution", "demand_test", "formulation_named", "predissolve", "zinc_free",
)  # fmt: skip
"""What a container or its water may have to be seen to before an amount is weighed out."""

Day = Annotated[str, AfterValidator(lambda text: parse_date(text, field="expires").isoformat())]


def _strength(text: str) -> str:
    """Keep a strength as typed; one that is blank is refused where the sum is made."""
    return check_name(text) if text.strip() else text


Strength = Annotated[str, AfterValidator(_strength)]


class SeenTo(Part):
    """One thing that was asked about a container or done with it, and the answer."""

    need: Key
    answer: YesNo


class LabelRead(Dated):
    """A container at hand, as its label says; a later entry for the same substance replaces it.

    ``strength`` is kept as typed ("pure", "25 % w/w as Cu"); ``scale`` and ``syringe`` are the
    smallest steps of the tools; ``expires`` is the date printed on it. ``seen_to`` answers what
    the substance needs to be looked at or done by hand on the day.
    """

    kind: Literal["label_read"] = "label_read"
    agent: Name
    strength: Strength
    scale: Mass | None = None
    syringe: Volume | None = None
    expires: Day | None = None
    seen_to: Annotated[tuple[SeenTo, ...], Field(strict=False)] = ()
    photo: FileName | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _known_once(self) -> LabelRead:
        needs = [one.need for one in self.seen_to]
        unknown = next((need for need in needs if need not in SEEN_TO), None)
        if unknown is not None:
            raise _refused("E-WORD-01", "This is nothing to be seen to.", unknown)
        if len(set(needs)) != len(needs):
            raise _refused("E-DUP-01", "One answer stands twice.", ", ".join(needs))
        return self


class DoseAsked(Dated):
    """One amount asked for; it is kept only when the amount could be shown.

    ``strength`` is kept as typed ("2 g/L", "0.18 mg/L as Cu"); ``reason`` is what was typed for
    passing a soft limit.
    """

    kind: Literal["dose_asked"] = "dose_asked"
    agent: Name
    strength: Strength
    route: Literal["prolonged", "bath", "dip"] = "prolonged"
    minutes: Time | None = None
    water_changed: Volume | None = None
    system: Key = "main"
    reason: Text | None = None
    note: Text | None = None


def _refused(code: str, message: str, given: str) -> BadInput:
    return BadInput(
        code,
        message,
        given=given,
        needed="each once of: " + ", ".join(SEEN_TO),
        next_step="Type it again; nothing was saved.",
        field="seen_to",
    )
