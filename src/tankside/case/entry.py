"""The union of all entries, and the correction that points at one of them.

An entry is never changed. Fields that are absent were not asked. Measured numbers stay as
typed. ``occurred_at`` is when it happened, with the offset of the place; ``day_only`` says that
only the day was told. ``recorded_at`` is when it was written down, in UTC.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, TypeAdapter, model_validator

from tankside.case.dated import Dated, need
from tankside.case.described import Event, Opened, StockDescribed, SystemDescribed
from tankside.case.done import (
    ActionDone,
    AgentInWater,
    Closed,
    CourseChosen,
    Death,
    Decision,
    DiagnosisConfirmed,
    Note,
)
from tankside.case.medicine import DoseAsked, LabelRead
from tankside.case.parts import Text
from tankside.case.seen import CountMade, Finding, Photo, WaterTest, WetMount

Fact = Annotated[
    Opened | SystemDescribed | StockDescribed | Event | Finding | WaterTest | WetMount
    | CountMade | Photo | AgentInWater | LabelRead | DoseAsked | CourseChosen | ActionDone | Death
    | DiagnosisConfirmed | Decision | Note | Closed,
    Field(discriminator="kind"),
]  # fmt: skip
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
        need(self.of < self.id, "A correction points at an earlier entry.", "its number", "of")
        same = self.replacement is None or self.replacement.id == self.of
        need(same, "The replacement carries the old number.", f"id {self.of}", "replacement")
        return self


Entry = Annotated[
    Opened | SystemDescribed | StockDescribed | Event | Finding | WaterTest | WetMount
    | CountMade | Photo | AgentInWater | LabelRead | DoseAsked | CourseChosen | ActionDone | Death
    | DiagnosisConfirmed | Decision | Note | Closed | Correction,
    Field(discriminator="kind"),
]  # fmt: skip
"""Any entry of a case."""

ENTRY: TypeAdapter[Entry] = TypeAdapter(Entry)
MODELS: dict[str, type[Dated]] = {
    str(model.model_fields["kind"].default): model
    for model in (
        Opened, SystemDescribed, StockDescribed, Event, Finding, WaterTest, WetMount, CountMade,
        Photo, AgentInWater, LabelRead, DoseAsked, CourseChosen, ActionDone, Death,
        DiagnosisConfirmed, Decision, Note, Closed, Correction,
    )
}  # fmt: skip
"""The model of each kind of entry."""
