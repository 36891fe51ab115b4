"""How much water there is: each way of measuring it, and how far they differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from tankside.case import typed_value as tv
from tankside.case.entry_kind import Word
from tankside.case.parts import Flow, Length, Mass, Name, Part, SalinityRise, Time, Volume
from tankside.case.reader import Reader
from tankside.errors import BadInput
from tankside.quantity import Kind

_CM3_PER_L = Decimal(1000)
_ROOM = Reader(tv.room)


class Room(Part):
    """Something that takes water away from the box, or adds to it (gravel, sump, filter)."""

    what: Name
    volume: Volume


class Geometry(Part):
    """Inside length times width times water height, less what takes room, plus what adds."""

    method: Literal["geometry"] = "geometry"
    inside_length: Annotated[Length, Word("length of the box inside", "118 cm")]
    inside_width: Annotated[Length, Word("width of the box inside", "38 cm")]
    water_height: Annotated[Length, Word("height of the water", "41 cm")]
    takes_away: Annotated[
        tuple[Room, ...],
        Field(strict=False),
        Word("what takes up room in the box", "11 L gravel", read=_ROOM, repeats=True),
    ] = ()
    adds: Annotated[
        tuple[Room, ...],
        Field(strict=False),
        Word("what holds water outside the box", "6 L filter", read=_ROOM, repeats=True),
    ] = ()

    def litres(self) -> Decimal:
        """Net volume [L] = l x w x h / 1000 (cm) - takes away + adds."""
        sides = (self.inside_length, self.inside_width, self.water_height)
        box = Decimal(1)
        for side in sides:
            box *= side.measured(Kind.LENGTH).to("cm")
        away, adds = (
            sum((room.volume.measured(Kind.VOLUME).to("L") for room in rooms), Decimal(0))
            for rooms in (self.takes_away, self.adds)
        )
        return box / _CM3_PER_L - away + adds

    @model_validator(mode="after")
    def _holds_water(self) -> Geometry:
        if not self.litres() > 0:
            raise BadInput(
                "E-NUM-09",
                "More water is taken away than the box holds.",
                given=f"{self.litres():f} L",
                needed="a net volume above 0 L",
                next_step="Check the sides and what takes room; nothing was saved.",
                field="volume",
            )
        return self


class Hose(Part):
    """Filled by a hose of known flow for a timed while."""

    method: Literal["hose"] = "hose"
    flow: Flow
    time: Time

    def litres(self) -> Decimal:
        """Volume [L] = flow x time."""
        return self.flow.measured(Kind.FLOW).to("L/min") * self.time.measured(Kind.TIME).to("min")


class SaltRise(Part):
    """A weighed mass of salt and the rise in salinity it caused once mixed."""

    method: Literal["salt_rise"] = "salt_rise"
    salt: Mass
    rise: SalinityRise

    def litres(self) -> Decimal:
        """Volume [L] = mass of salt / rise of salinity."""
        rise = self.rise.measured(Kind.SALINITY).to("g/L")
        return self.salt.measured(Kind.MASS).to("g") / rise if rise else Decimal(0)


class Metered(Part):
    """Read from a water meter or counted in buckets."""

    method: Literal["meter"] = "meter"
    volume: Volume

    def litres(self) -> Decimal:
        """Volume [L] as read."""
        return self.volume.measured(Kind.VOLUME).to("L")


class Label(Part):
    """What the maker's label says, or the keeper by heart; kept, but never dosed on."""

    method: Literal["label", "keeper_says"] = "label"
    volume: Volume

    def litres(self) -> Decimal:
        """Volume [L] as told."""
        return self.volume.measured(Kind.VOLUME).to("L")


Method = Annotated[Geometry | Hose | SaltRise | Metered | Label, Field(discriminator="method")]
TOLD_NOT_MEASURED = ("label", "keeper_says")


@dataclass(frozen=True, slots=True)
class MethodResult:
    """One way of measuring and what it gave."""

    method: str
    litres: Decimal
    measured: bool


@dataclass(frozen=True, slots=True)
class VolumeView:
    """All that is known about one volume.

    Args:
        results: every method, in the order typed.
        point_l: the first measured figure [L]; None when only told.
        second_l: the next measured figure [L], for comparison.
        difference_percent: of first and second, relative to the smaller; None without both.
        told_l: label or keeper's figure [L]; shown, never dosed on.
        told_difference_percent: of the told figure above (+) or below (-) the point figure.
    """

    results: tuple[MethodResult, ...]
    point_l: Decimal | None
    second_l: Decimal | None
    difference_percent: Decimal | None
    told_l: Decimal | None
    told_difference_percent: Decimal | None

    @property
    def weak(self) -> bool:
        """Whether a second measured method is missing."""
        return self.difference_percent is None


def volume_view(methods: Sequence[Method], point_by: str | None = None) -> VolumeView:
    """Work out each method and compare the first two that were measured.

    Args:
        methods: ways of measuring, in the order typed.
        point_by: method whose figure amounts are worked out for; None takes the first.
    """
    methods = sorted(methods, key=lambda m: m.method != point_by)
    results = tuple(
        MethodResult(m.method, m.litres(), m.method not in TOLD_NOT_MEASURED) for m in methods
    )
    measured_l = [r.litres for r in results if r.measured]
    stated_l = [r.litres for r in results if not r.measured]
    point, second = (measured_l[i] if len(measured_l) > i else None for i in (0, 1))
    difference = told_difference = None
    if point is not None and second is not None and min(point, second) > 0:
        difference = abs(point - second) / min(point, second) * 100
    if point is not None and stated_l and point > 0:
        told_difference = (stated_l[0] - point) / point * 100
    return VolumeView(
        results, point, second, difference, stated_l[0] if stated_l else None, told_difference
    )
