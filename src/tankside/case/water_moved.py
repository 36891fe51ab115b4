"""The entry of water that was carried from one tank into another, with all that is in it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import model_validator

from tankside.case.dated import Dated, need
from tankside.case.entry_kind import EntryKind, KindWord, Word
from tankside.case.parts import Key, Volume, YesNo
from tankside.case.reader import SYSTEM
from tankside.case.wording import Wording, joined, plain, told_text


class WaterMoved(Dated):
    """Water carried from one tank into another: what is in it goes with it.

    Volumes stay as they are described; where one is another from now on, measure it anew.
    ``room_made`` tells whether as much was let out first of the water it went into, or that tank
    was empty; ``refilled`` whether the one it came from was filled up with new water. Left out,
    both are counted as either.
    """

    kind: Literal["water_moved"] = "water_moved"
    moved: Annotated[Volume, Word("how much water was moved", "20 L", bare=True)]
    source: Annotated[Key, Word("the water it was taken from", "main", typed="from", read=SYSTEM)]
    system: Annotated[Key, Word("the water it went into", "box", typed="to", read=SYSTEM)]
    room_made: Annotated[
        YesNo | None, Word("as much was let out first of the water it went into")
    ] = None
    refilled: Annotated[
        YesNo | None, Word("the water it came from was filled up with new water")
    ] = None

    @model_validator(mode="after")
    def _elsewhere(self) -> WaterMoved:
        message = "Water is moved from one tank into another one."
        need(self.source != self.system, message, "two different systems", "to")
        return self


def _moved_text(entry: WaterMoved, _: Wording) -> str:
    return joined(
        f"{entry.moved.value} {entry.moved.unit} from {plain(entry.source)} "
        f"into {plain(entry.system)}",
        told_text("room made", entry.room_made),
        told_text("refilled", entry.refilled),
    )


WATER_MOVED = EntryKind(
    model=WaterMoved,
    text=_moved_text,
    typed_as=(KindWord("water_moved"),),
    examples=('water-moved "20 L" from=main to=box room-made=yes refilled=yes',),
    observed=True,
    adds_up=lambda _: True,
)
