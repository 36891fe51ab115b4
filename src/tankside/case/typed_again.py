"""An entry as the words that would type it again, so that a form can show what it said."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from tankside.case import typed_value as tv
from tankside.case.catalogue import CATALOGUE
from tankside.case.described import Event
from tankside.case.entry import Fact
from tankside.case.entry_kind import typed_words
from tankside.case.medicine import AgentInWater, LabelRead
from tankside.case.parts import Amount, Looked
from tankside.case.seen import CountMade, Finding, WetMount
from tankside.case.system import SystemDescribed
from tankside.case.typed_value import NOT_KNOWN, NOT_LOOKED, Typed
from tankside.case.volume import Geometry, Hose, Room, SaltRise
from tankside.case.water_test import WaterTest

STATE_WORDS: Mapping[str, str] = {
    "none": tv.NONE,
    "not_looked": NOT_LOOKED[0],
    "keeper_does_not_know": NOT_KNOWN[0],
}
"""Three-state words as they are typed."""


def word_of(entry: Fact) -> str:
    """Return the word that names an entry of this kind, with what the word itself tells of it."""
    kind = CATALOGUE.of(entry)
    return next(
        (
            word.word
            for word in kind.typed_as
            if all(getattr(entry, name) == value for name, value in word.preset.items())
        ),
        kind.typed_as[0].word if kind.typed_as else kind.name,
    )


def typed_again(entry: Fact) -> list[Typed]:
    """Return the words that would type an entry again.

    Its number, its moment and who wrote it are left out.

    Args:
        entry: the entry.
    """
    said: list[Typed] = [(name, NOT_KNOWN[0]) for name in entry.not_known]
    for word in typed_words(type(entry)):
        said += [(word.typed, text) for text in _texts(getattr(entry, word.name))]
    put_together = PUT_TOGETHER.get(type(entry))
    if put_together is not None:
        said += put_together(entry)
    return said


def _texts(value: object) -> Iterator[str]:
    if value in (None, ()):
        return
    if isinstance(value, Amount):
        yield amount_typed(value)
    elif isinstance(value, tuple):
        if all(isinstance(part, str) for part in value):
            yield ", ".join(map(str, value))
    else:
        yield STATE_WORDS.get(str(value), str(value))


def amount_typed(amount: Amount) -> str:
    """Return an amount as it is typed: number, unit and basis with plain blanks."""
    if amount.unit == "pH":
        return amount.value
    return " ".join(part for part in (amount.value, amount.unit, amount.basis) if part)


def _readings(entry: WaterTest) -> Iterator[Typed]:
    for line in entry.readings:
        stated = STATE_WORDS.get(line.state) if line.amount is None else amount_typed(line.amount)
        yield line.what.value, stated or ""


def _volume(entry: SystemDescribed) -> Iterator[Typed]:
    for method in entry.volume:
        if isinstance(method, Geometry):
            for side in ("inside_length", "inside_width", "water_height"):
                yield side, amount_typed(getattr(method, side))
            yield from (("takes_away", _room(room)) for room in method.takes_away)
            yield from (("adds", _room(room)) for room in method.adds)
        elif isinstance(method, Hose):
            yield "hose", f"{amount_typed(method.flow)} for {amount_typed(method.time)}"
        elif isinstance(method, SaltRise):
            yield "salt_rise", f"{amount_typed(method.salt)} raised {amount_typed(method.rise)}"
        else:
            yield method.method, amount_typed(method.volume)


def _room(room: Room) -> str:
    return f"{amount_typed(room.volume)} {room.what}"


def _seen_to(entry: LabelRead) -> Iterator[Typed]:
    for seen in entry.seen_to:
        yield seen.need, STATE_WORDS.get(seen.answer, seen.answer)


def _looked(looked: Looked) -> Typed:
    if looked.state != "answered" and not looked.examined:
        return looked.finding, STATE_WORDS[looked.state]
    of_fish = "" if looked.examined is None else f"{looked.infected} of {looked.examined} "
    number = "" if looked.number is None else f"{looked.number} "
    return looked.finding, f"{of_fish}{number}{', '.join(looked.answers)}".strip()


def _count(entry: CountMade) -> Iterator[Typed]:
    if entry.number is not None:
        text = str(entry.number)
    elif entry.mean is not None:
        text = f"mean {entry.mean}"
    elif entry.infected is not None:
        text = f"{entry.infected} of {entry.examined}"
    else:
        text = STATE_WORDS[entry.state]
    yield entry.what, text


def _alone(entry: Event | AgentInWater) -> Iterator[Typed]:
    if entry.state in STATE_WORDS:
        yield "", STATE_WORDS[entry.state]
    elif isinstance(entry, AgentInWater) and entry.amount is None and entry.amount_state:
        yield "amount", STATE_WORDS.get(entry.amount_state, "")


PUT_TOGETHER: Mapping[type[Any], Callable[[Any], Iterator[Typed]]] = {
    WaterTest: _readings,
    SystemDescribed: _volume,
    LabelRead: _seen_to,
    Finding: lambda entry: iter((_looked(entry.looked),)),
    WetMount: lambda entry: map(_looked, entry.looks),
    CountMade: _count,
    Event: _alone,
    AgentInWater: _alone,
}
"""What stands in an entry under other names than its words."""
