"""The list of the kinds of entry, their union, and the correction that points at an entry.

An entry is never changed. Fields that are absent were not asked. Measured numbers stay as
typed. ``occurred_at`` is when it happened, with the offset of the place; ``day_only`` says that
only the day was told. ``recorded_at`` is when it was written down, in UTC.

A new kind of entry is a model with its ``EntryKind``, and a place in the union and the list here.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from tankside.case.dated import Dated, need
from tankside.case.described import EVENT, OPENED, STOCK, Event, Opened, StockDescribed
from tankside.case.done import (
    ACTION_DONE,
    CLOSED,
    COURSE_CHOSEN,
    DEATH,
    DECISION,
    DIAGNOSIS_CONFIRMED,
    NOTE,
    ActionDone,
    Closed,
    CourseChosen,
    Death,
    Decision,
    DiagnosisConfirmed,
    Note,
)
from tankside.case.entry_kind import EntryKind
from tankside.case.medicine import (
    AGENT_IN_WATER,
    DOSE_ASKED,
    LABEL_READ,
    AgentInWater,
    DoseAsked,
    LabelRead,
)
from tankside.case.parts import Text
from tankside.case.seen import (
    COUNT,
    FINDING,
    PHOTO,
    WET_MOUNT,
    CountMade,
    Finding,
    Photo,
    WetMount,
)
from tankside.case.system import SYSTEM, SystemDescribed
from tankside.case.water_moved import WATER_MOVED, WaterMoved
from tankside.case.water_test import WATER_TEST, WaterTest
from tankside.case.wording import Wording

_AnyFact = (
    Opened | SystemDescribed | StockDescribed | Event | Finding | WaterTest | WetMount
    | CountMade | Photo | AgentInWater | WaterMoved | LabelRead | DoseAsked | CourseChosen
    | ActionDone | Death | DiagnosisConfirmed | Decision | Note | Closed
)  # fmt: skip
FACT_KINDS: tuple[EntryKind[Any], ...] = (
    OPENED, SYSTEM, STOCK, EVENT, FINDING, WATER_TEST, WET_MOUNT,
    COUNT, PHOTO, AGENT_IN_WATER, WATER_MOVED, LABEL_READ, DOSE_ASKED, COURSE_CHOSEN, ACTION_DONE,
    DEATH, DIAGNOSIS_CONFIRMED, DECISION, NOTE, CLOSED,
)  # fmt: skip
"""Every kind of entry but the correction, in the order of help and forms."""

Fact = Annotated[_AnyFact, Field(discriminator="kind")]
"""Every entry but a correction."""


class Correction(Dated):
    """What entry ``of`` should have said; the old entry stays beside it.

    ``replacement`` has the number and kind of the old entry; absent, the old entry is void.
    """

    kind: Literal["correction"] = "correction"
    of: Annotated[int, Field(ge=1)]
    reason: Text
    replacement: Fact | None = None

    @model_validator(mode="after")
    def _points_back(self) -> Correction:
        message = "A correction must point at an earlier entry."
        need(self.of < self.id, message, "its number", "of")
        same = self.replacement is None or self.replacement.id == self.of
        message = "The replacement must keep the number of the old entry."
        need(same, message, f"id {self.of}", "replacement")
        return self


def _correction_text(entry: Correction, wording: Wording) -> str:
    new = entry.replacement
    outcome = "taken back" if new is None else wording.entry(new)
    return f"entry {entry.of}: {outcome} ({entry.reason})"


CORRECTION = EntryKind(
    model=Correction, text=_correction_text, after_closing=True, rests_on_seen=True
)

Entry = Annotated[_AnyFact | Correction, Field(discriminator="kind")]
"""Any entry of a case."""

KINDS: tuple[EntryKind[Any], ...] = (*FACT_KINDS, CORRECTION)
"""Every kind of entry."""
