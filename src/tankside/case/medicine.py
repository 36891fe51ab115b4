"""Entries about substances: a container as its label says, an amount asked for, what is in."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from tankside.case import reader
from tankside.case.dated import Dated, need
from tankside.case.entry_kind import EntryKind, KindWord, TypedWord, Word
from tankside.case.parts import (
    PUT_IN,
    Density,
    FileName,
    Key,
    Mass,
    Name,
    Part,
    PutIn,
    Text,
    Time,
    Volume,
    YesNo,
    check_name,
)
from tankside.case.typed_value import ALONE, Door, Fields, Typed, bare_state
from tankside.case.wording import STATES, Wording, joined, plain, told_text, value_text
from tankside.errors import BadInput
from tankside.quantity.moment import parse_date

_SEEN_TO = {
    "buffer": "the solution is buffered to the pH of the water",
    "clear_solution": "the liquid is clear, without a white deposit",
    "demand_test": "this water was tested for how much of it the dirt uses up",
    "formulation_named": "the container names its formulation and the test kit for it",
    "predissolve": "it is dissolved before it goes into the water",
    "zinc_free": "the container says that it is free of zinc",
}
SEEN_TO = tuple(_SEEN_TO)
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
    agent: Annotated[Name, Word("name of the substance", "copper_sulphate")]
    strength: Annotated[Strength, Word("what the label says is in it", "25 % w/w as Cu")]
    scale: Annotated[Mass | None, Word("smallest step of the scale", "1 g")] = None
    syringe: Annotated[Volume | None, Word("smallest step of the syringe", "0.1 mL")] = None
    density: Annotated[
        Density | None, Word("density printed on it, where it is weighed against mL", "1.08 g/mL")
    ] = None
    expires: Annotated[
        Day | None, Word("date printed on it", "2027-05-01", read=reader.WRITTEN_DATE)
    ] = None
    seen_to: Annotated[tuple[SeenTo, ...], Field(strict=False)] = ()
    photo: Annotated[FileName | None, Word("file name of a picture of it", "label.jpg")] = None
    note: Annotated[Text | None, Word("anything else")] = None

    @model_validator(mode="after")
    def _known_once(self) -> LabelRead:
        needs = [seen.need for seen in self.seen_to]
        unknown = next((need for need in needs if need not in SEEN_TO), None)
        if unknown is not None:
            raise _refused("E-WORD-01", "A container is not checked for this.", unknown)
        if len(set(needs)) != len(needs):
            raise _refused("E-DUP-01", "One answer is given twice.", ", ".join(needs))
        return self


def _refused(code: str, message: str, typed: str) -> BadInput:
    return BadInput(
        code,
        message,
        given=typed,
        needed="each once of: " + ", ".join(SEEN_TO),
        next_step="Type it again; nothing was saved.",
        field="seen_to",
    )


def _seen_to(base: Fields, loose: list[Typed], door: Door) -> None:
    """Gather the answers about a container; what was not asked stays out."""
    del loose, door
    stated = [{"need": need, "answer": base.pop(need)} for need in SEEN_TO if need in base]
    base.update({"seen_to": stated} if stated else {})


def _label_text(entry: LabelRead, _: Wording) -> str:
    return joined(
        f"{entry.agent} {entry.strength}",
        told_text("step", entry.scale),
        told_text("step", entry.syringe),
        told_text("density", entry.density),
        told_text("expires", entry.expires),
        *(f"{plain(seen.need)} {value_text(seen.answer)}" for seen in entry.seen_to),
        entry.note,
    )


LABEL_READ = EntryKind(
    model=LabelRead,
    text=_label_text,
    typed_as=(KindWord("label"),),
    gathered=tuple(
        TypedWord(need, Word(question), reader.YES_NO) for need, question in _SEEN_TO.items()
    ),
    shapes=(_seen_to,),
    examples=('label agent=copper_sulphate strength="25 % w/w as Cu" scale="1 g" zinc-free=yes',),
    before_opening=True,
)


class DoseAsked(Dated):
    """One amount asked for; it is kept only when the amount could be shown.

    ``strength`` is kept as typed ("2 g/L", "0.18 mg/L as Cu"); ``reason`` is what was typed for
    passing a soft limit.
    """

    kind: Literal["dose_asked"] = "dose_asked"
    agent: Annotated[Name, Word("name of the substance", "salt")]
    strength: Annotated[Strength, Word("how much is wanted in the water", "2 g/L")]
    route: Annotated[
        Literal["prolonged", "bath", "dip", "feed", "equipment"],
        Word("how it is given; left out, prolonged"),
    ] = "prolonged"
    minutes: Annotated[Time | None, Word("how long a bath or dip takes", "30 min")] = None
    ration: Annotated[
        Strength | None, Word("food of a day, for route=feed", "1 % of body weight")
    ] = None
    days: Annotated[Time | None, Word("on how many days, for route=feed", "5 d")] = None
    fish_weight: Annotated[
        Mass | None, Word("all fish that are fed, weighed, for route=feed", "200 g")
    ] = None
    vessel: Annotated[
        Volume | None, Word("the bucket or empty tank, for route=equipment", "10 L")
    ] = None
    water_changed: Annotated[
        Volume | None, Word("only for water that was changed", "40 L", typed="changed")
    ] = None
    system: Annotated[Key, Word("the water it goes into", "main", read=reader.SYSTEM)] = "main"
    reason: Annotated[Text | None, Word("why a limit may be passed")] = None
    note: Annotated[Text | None, Word("anything else")] = None


def _dose_text(entry: DoseAsked, _: Wording) -> str:
    return joined(
        f"{entry.agent} {entry.strength}",
        None if entry.route == "prolonged" else entry.route,
        told_text("", entry.minutes),
        told_text("for", entry.water_changed, "changed"),
        entry.ration,
        told_text("for", entry.days),
        told_text("fish", entry.fish_weight),
        told_text("in", entry.vessel),
        entry.reason,
    )


DOSE_ASKED = EntryKind(
    model=DoseAsked,
    text=_dose_text,
    typed_as=(KindWord("dose"),),
    examples=(
        'dose agent=salt strength="2 g/L"',
        'dose agent=praziquantel route=feed strength="75 mg/kg/d" ration="1 % of body weight"',
        'dose agent=hypochlorite route=equipment strength="200 mg/L" vessel="10 L" minutes="1 h"',
    ),
    which_system="ask",
    observed=True,
    rests_on_seen=True,
)


class AgentInWater(Dated):
    """A substance already in the water, or that there is none, or that nobody knows.

    The amount may be not known, which is an answer, or absent, which was not asked.
    """

    kind: Literal["agent_in_water"] = "agent_in_water"
    state: Literal["answered", "none", "keeper_does_not_know"] = "answered"
    agent: Annotated[Name | None, Word("name of the substance", "salt")] = None
    amount_state: Literal["answered", "keeper_does_not_know"] | None = None
    amount: Annotated[
        PutIn | None, Word("how much went in", "5 g", read=reader.known_amount(*PUT_IN))
    ] = None
    system: Annotated[Key, Word("the water it is in", "main", read=reader.SYSTEM)] = "main"
    note: Annotated[Text | None, Word("anything else")] = None

    @model_validator(mode="after")
    def _whole(self) -> AgentInWater:
        named = self.agent is not None
        need(named == (self.state == "answered"), "Name the substance.", "its name", "agent")
        stated = self.amount is not None
        needed = "an amount with its unit, or amount not known"
        answered = self.amount_state == "answered"
        message = "Give the amount, or say that it is not known."
        need(stated == answered, message, needed, "amount")
        return self


def _agent_or_none(base: Fields, loose: list[Typed], door: Door) -> None:
    """Read ``none`` or ``?`` typed without a key, and an amount that may not be known."""
    del door
    for bare in [pair for pair in loose if not pair[0]]:
        state = bare_state(bare[1])
        if state is not None:
            loose.remove(bare)
            base["state"] = state
    asked = base.get("not_known")
    if isinstance(asked, list) and "agent" in asked:
        base["state"] = "keeper_does_not_know"
    stated = base.pop("amount", None)
    if isinstance(stated, dict):
        base.update(stated)


def _agent_text(entry: AgentInWater, _: Wording) -> str:
    if entry.agent is None:
        return STATES[entry.state]
    unknown = "amount not known" if entry.amount_state == "keeper_does_not_know" else ""
    return joined(entry.agent, told_text("", entry.amount), unknown, entry.note)


AGENT_IN_WATER = EntryKind(
    model=AgentInWater,
    text=_agent_text,
    typed_as=(KindWord("in_water"),),
    shapes=(_agent_or_none,),
    alone=ALONE,
    examples=(
        'in-water agent=salt amount="5 g"',
        "in-water agent=salt amount=?",
        "in-water none",
        "in-water ?",
    ),
    which_system="ask",
    before_opening=True,
)
