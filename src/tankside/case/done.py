"""Entries that hold what was chosen, done and decided, and how it ended."""

from __future__ import annotations

import json
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, JsonValue, model_validator

from tankside.case.dated import Dated, need
from tankside.case.entry_kind import EntryKind, KindWord, Word
from tankside.case.parts import Count, Instant, Key, MassOrVolume, Name, Text, Volume, YesNo
from tankside.case.reader import DATE, GROUP, SYSTEM
from tankside.case.typed_value import Door, Fields, Typed
from tankside.case.wording import STATES, Wording, joined, plain, told_text
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


def _keepable_or_none(compared: dict[str, JsonValue] | None) -> dict[str, JsonValue] | None:
    return None if compared is None else _keepable(compared)


class CourseChosen(Dated):
    """The course that is followed from now on; a later one replaces it.

    ``course`` is the schedule as its maker wrote it, kept unchanged with its version.
    """

    kind: Literal["course_chosen"] = "course_chosen"
    name: Annotated[Name, Word("what the course is called", "salt")]
    starts_at: Annotated[
        Instant, Word("when it starts", "2026-03-02T18:00", typed="starts", read=DATE)
    ]
    course: Annotated[dict[str, JsonValue], AfterValidator(_keepable)] = Field(default_factory=dict)
    program: Name | None = None
    knowledge: Name | None = None
    seed: Annotated[int, Field(ge=0)] | None = None
    reason: Annotated[Text | None, Word("why it was chosen")] = None
    replaces: Annotated[Text | None, Word("the course that it replaces")] = None
    stop_signs: Annotated[Text | None, Word("at which signs it is stopped")] = None
    compared: Annotated[dict[str, JsonValue] | None, AfterValidator(_keepable_or_none)] = None
    """The comparison it was chosen from: its id, the version of the case, what was shown."""


def _course_text(entry: CourseChosen, _: Wording) -> str:
    return joined(entry.name, f"from {entry.starts_at[:10]}", entry.reason)


COURSE_CHOSEN = EntryKind(
    model=CourseChosen,
    text=_course_text,
    typed_as=(KindWord("course"),),
    examples=("course name=salt starts=2026-03-02T18:00",),
    rests_on_seen=True,
)


class ActionDone(Dated):
    """Whether an action of the course was done, not done, or done with another amount.

    ``step`` names the step of a course that it answers, ``answers`` the entry that asked for an
    amount. ``index`` is read in older files only: it could mean either.
    """

    kind: Literal["action_done"] = "action_done"
    action: Annotated[
        Name,
        Word("the action of the course; left out, its substance", "water change"),
    ]
    state: Literal["done", "not_done", "other_amount", "keeper_does_not_know"]
    step: Annotated[Key | None, Word("short name of the step, as the card has it", "A1-2")] = None
    answers: Annotated[
        Count | None,
        Word("number of the entry that asked for the amount", "7", also=("index",)),
    ] = None
    again: Annotated[YesNo | None, Word("it was done once more than was logged before")] = None
    index: Count | None = None
    agent: Annotated[Name | None, Word("name of the substance", "salt")] = None
    amount: Annotated[MassOrVolume | None, Word("how much went in", "80 g")] = None
    water_changed: Annotated[
        Volume | None, Word("how much water was changed", "40 L", typed="changed")
    ] = None
    system: Annotated[Key, Word("the water it concerns", "main", read=SYSTEM)] = "main"
    reason: Annotated[Text | None, Word("why it was done so")] = None

    @model_validator(mode="after")
    def _whole(self) -> ActionDone:
        amount_stated = self.state != "other_amount" or bool(self.amount or self.water_changed)
        need(amount_stated, "Give the other amount.", "an amount with its unit", "amount")
        return self


def _action_text(entry: ActionDone, _: Wording) -> str:
    return joined(
        f"{entry.action} ({STATES.get(entry.state, plain(entry.state))})",
        told_text("step", entry.step),
        told_text("once more", entry.again),
        told_text("", entry.water_changed, "changed"),
        told_text("", entry.amount),
        entry.reason,
    )


def _action_named(base: Fields, loose: list[Typed], door: Door) -> None:
    """Call an action by its substance, or by its step, where nobody called it anything."""
    del loose, door
    named = base.get("agent") or base.get("step")
    if "action" not in base and named:
        base["action"] = str(named).replace("_", " ")


def _in_water_of_step(base: Fields, loose: list[Typed], door: Door) -> None:
    """Take the water that the named step is done in, where nobody said which."""
    del loose
    system = door.system_of_step(str(base["step"])) if "step" in base else ""
    if system and "system" not in base:
        base["system"] = system


ACTION_DONE = EntryKind(
    model=ActionDone,
    text=_action_text,
    typed_as=tuple(KindWord(s, {"state": s}) for s in ("done", "not_done", "other_amount")),
    examples=(
        'done action="water change" changed="40 L"',
        "not-done action=siphon step=A1-2 reason=away",
        'other-amount action=salt amount="60 g"',
    ),
    shapes=(_action_named, _in_water_of_step),
    which_system="ask",
    observed=True,
    adds_up=lambda entry: entry.state in ("done", "other_amount") and entry.again != "yes",
)


class Death(Dated):
    """Animals found dead that day; 0 means somebody looked and none was."""

    kind: Literal["death"] = "death"
    number: Annotated[Count, Word("how many were found dead", "1", bare=True)]
    group: Annotated[Key | None, Word("group of stock they belong to", "loach", read=GROUP)] = None
    fish: Annotated[Name | None, Word("name of the one fish", "worst loach")] = None
    system: Annotated[Key | None, Word("the water they lived in", "main", read=SYSTEM)] = None
    note: Annotated[Text | None, Word("anything else")] = None


def _death_text(entry: Death, _: Wording) -> str:
    return joined(f"{entry.number} dead", entry.group, entry.fish, entry.note)


DEATH = EntryKind(
    model=Death,
    text=_death_text,
    typed_as=(KindWord("death"), KindWord("deaths", shown=False)),
    examples=("death 1 group=loach", "death 0"),
    observed=True,
    adds_up=lambda entry: entry.number > 0,
)


class DiagnosisConfirmed(Dated):
    """A condition shown, suspected or ruled out, and by what."""

    kind: Literal["diagnosis_confirmed"] = "diagnosis_confirmed"
    condition: Annotated[Key, Word("name of the condition", "ICH")]
    state: Literal["confirmed", "suspected", "ruled_out"] = "confirmed"
    shown_by: Annotated[Name, Word("what shows it", "skin scrape")]
    note: Annotated[Text | None, Word("anything else")] = None


def _diagnosis_text(entry: DiagnosisConfirmed, _: Wording) -> str:
    return joined(f"{entry.condition} {plain(entry.state)}", f"by {entry.shown_by}", entry.note)


DIAGNOSIS_CONFIRMED = EntryKind(
    model=DiagnosisConfirmed,
    text=_diagnosis_text,
    called="diagnosis",
    typed_as=tuple(KindWord(s, {"state": s}) for s in ("confirmed", "suspected", "ruled_out")),
    examples=('confirmed condition=ICH shown-by="skin scrape"',),
)


class Decision(Dated):
    """What the person decided, and why."""

    kind: Literal["decision"] = "decision"
    what: Annotated[
        Literal["start", "go_on", "stop", "extend", "change", "wait", "refer", "end", "other"],
        Word("what was decided", bare=True),
    ]
    reason: Annotated[Text, Word("why", "spots are fewer")]
    note: Annotated[Text | None, Word("anything else")] = None


def _decision_text(entry: Decision, _: Wording) -> str:
    return f"{plain(entry.what)}: {entry.reason}"


DECISION = EntryKind(
    model=Decision,
    text=_decision_text,
    typed_as=(KindWord("decision"),),
    examples=('decision go-on reason="spots are fewer"',),
    observed=True,
    rests_on_seen=True,
)


class Note(Dated):
    """Free text."""

    kind: Literal["note"] = "note"
    text: Annotated[Text, Word("the text", "keeper is away until Friday", bare=True)]


def _note_text(entry: Note, _: Wording) -> str:
    return entry.text


NOTE = EntryKind(
    model=Note,
    text=_note_text,
    typed_as=(KindWord("note"),),
    examples=('note "keeper is away until Friday"',),
    before_opening=True,
    after_closing=True,
)


class Closed(Dated):
    """The case ends."""

    kind: Literal["closed"] = "closed"
    outcome: Annotated[
        Literal["clear", "died", "moved", "lost_contact", "referred", "other"],
        Word("how it ended", bare=True),
    ]
    reason: Annotated[Text | None, Word("why")] = None


def _closed_text(entry: Closed, _: Wording) -> str:
    return joined(plain(entry.outcome), entry.reason)


CLOSED = EntryKind(
    model=Closed,
    text=_closed_text,
    typed_as=(KindWord("closed"), KindWord("close", shown=False)),
    examples=("closed clear",),
    observed=True,
    rests_on_seen=True,
)
