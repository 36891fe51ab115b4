"""Entries that hold what was chosen, done and decided, and how it ended."""

from __future__ import annotations

import json
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, JsonValue, model_validator

from tankside.case.dated import Dated, need
from tankside.case.parts import Count, Instant, Key, MassOrVolume, Name, PutIn, Text, Volume
from tankside.errors import BadInput


def _keepable(course: dict[str, JsonValue]) -> dict[str, JsonValue]:
    try:
        json.dumps(course, ensure_ascii=False, allow_nan=False).encode("utf-8")
    except ValueError as broken:
        raise BadInput(
            "E-TEXT-01",
            "The schedule holds a number or sign that cannot be kept.",
            given=str(broken),
            needed="finite numbers and plain text",
            next_step="Make the schedule again; nothing was saved.",
            field="course",
        ) from None
    return course


class AgentInWater(Dated):
    """A substance already in the water, or that there is none, or that nobody knows.

    The amount may be not known, which is an answer, or absent, which was not asked.
    """

    kind: Literal["agent_in_water"] = "agent_in_water"
    state: Literal["answered", "none", "keeper_does_not_know"] = "answered"
    agent: Name | None = None
    amount_state: Literal["answered", "keeper_does_not_know"] | None = None
    amount: PutIn | None = None
    system: Key = "main"
    note: Text | None = None

    @model_validator(mode="after")
    def _whole(self) -> AgentInWater:
        named = self.agent is not None
        need(named == (self.state == "answered"), "Name the substance.", "its name", "agent")
        told = self.amount is not None
        needed = "an amount with its unit, or amount not known"
        answered = self.amount_state == "answered"
        need(told == answered, "The amount is told or not known.", needed, "amount")
        return self


class CourseChosen(Dated):
    """The course that is followed from now on; a later one replaces it.

    ``course`` is the schedule as its maker wrote it, kept unchanged with its version.
    """

    kind: Literal["course_chosen"] = "course_chosen"
    name: Name
    starts_at: Instant
    course: Annotated[dict[str, JsonValue], AfterValidator(_keepable)] = Field(default_factory=dict)
    program: Name | None = None
    knowledge: Name | None = None
    seed: Annotated[int, Field(ge=0)] | None = None
    reason: Text | None = None
    replaces: Text | None = None
    stop_signs: Text | None = None


class ActionDone(Dated):
    """Whether an action of the course was done, not done, or done with another amount."""

    kind: Literal["action_done"] = "action_done"
    action: Name
    state: Literal["done", "not_done", "other_amount", "keeper_does_not_know"]
    index: Count | None = None
    agent: Key | None = None
    amount: MassOrVolume | None = None
    water_changed: Volume | None = None
    system: Key = "main"
    reason: Text | None = None

    @model_validator(mode="after")
    def _whole(self) -> ActionDone:
        told = self.state != "other_amount" or bool(self.amount or self.water_changed)
        need(told, "Say the other amount.", "an amount with its unit", "amount")
        return self


class Death(Dated):
    """Animals found dead that day; 0 means somebody looked and none was."""

    kind: Literal["death"] = "death"
    number: Count
    group: Key | None = None
    fish: Name | None = None
    system: Key | None = None
    note: Text | None = None


class DiagnosisConfirmed(Dated):
    """A condition shown, suspected or ruled out, and by what."""

    kind: Literal["diagnosis_confirmed"] = "diagnosis_confirmed"
    condition: Key
    state: Literal["confirmed", "suspected", "ruled_out"] = "confirmed"
    shown_by: Name
    note: Text | None = None


class Decision(Dated):
    """What the person decided, and why."""

    kind: Literal["decision"] = "decision"
    what: Literal["start", "go_on", "stop", "extend", "change", "wait", "refer", "end", "other"]
    reason: Text
    note: Text | None = None


class Note(Dated):
    """Free text."""

    kind: Literal["note"] = "note"
    text: Text


class Closed(Dated):
    """The case ends."""

    kind: Literal["closed"] = "closed"
    outcome: Literal["clear", "died", "moved", "lost_contact", "referred", "other"]
    reason: Text | None = None
