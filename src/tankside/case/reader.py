"""How the typed text of one word is read, and what a form asks for it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import AfterValidator
from pydantic.fields import FieldInfo

from tankside.case import typed_value as tv
from tankside.case.parts import HeldTo, YesNo
from tankside.case.typed_value import Parser
from tankside.quantity import Kind

NOT_KNOWN, NOT_LOOKED = tv.NOT_KNOWN[0], tv.NOT_LOOKED[0]


class Input(StrEnum):
    """What a form asks for."""

    TEXT = "text"
    NAMES = "names, separated by commas"
    WHOLE_NUMBER = "whole number"
    AMOUNT = "number with its unit"
    CHOICE = "choice"
    YES_NO = "yes or no"
    DATE = "date"


@dataclass(frozen=True, slots=True)
class Reader:
    """How the typed text of one word is read.

    Args:
        parse: from text to the field of an entry.
        input: what a form asks for.
        kinds: kinds of quantity that an amount may be.
        choices: words of a closed list, as a case file holds them.
        instead: what may be typed in place of a value.
    """

    parse: Parser
    input: Input = Input.TEXT
    kinds: tuple[Kind, ...] = ()
    choices: tuple[str, ...] = ()
    instead: tuple[str, ...] = ()


TEXT = Reader(tv.words)
KEY = Reader(tv.key)
GROUP = Reader(tv.group)
SYSTEM = Reader(tv.system)
NAMES = Reader(tv.names, Input.NAMES)
COUNT = Reader(tv.count, Input.WHOLE_NUMBER)
YES_NO = Reader(tv.yes_no, Input.YES_NO, choices=("yes", "no"), instead=(NOT_KNOWN,))
PAST_DATE = Reader(tv.day, Input.DATE)
CHECKED = Reader(tv.day_or_never, Input.DATE, instead=("never",))
DATE = Reader(tv.moment, Input.DATE)
WRITTEN_DATE = Reader(tv.words, Input.DATE)
"""A date that the model checks, since it has no clock time and no zone."""


def amount(*kinds: Kind) -> Reader:
    """Return the reader of a number with its unit."""
    return Reader(tv.amount(*kinds), Input.AMOUNT, kinds)


def known_amount(*kinds: Kind) -> Reader:
    """Return the reader of an amount that may be asked for and not known."""
    parse = tv.amount_or_not_known(*kinds)
    return Reader(parse, Input.AMOUNT, kinds, instead=(NOT_KNOWN,))


def reading(*kinds: Kind) -> Reader:
    """Return the reader of one line of a water test."""
    return Reader(tv.reading(*kinds), Input.AMOUNT, kinds, instead=(NOT_KNOWN, NOT_LOOKED))


def choice(*allowed: str) -> Reader:
    """Return the reader of one word of a closed list."""
    unknown = "keeper_does_not_know"
    instead = (NOT_KNOWN,) if unknown in allowed else ()
    choices = tuple(word for word in allowed if word != unknown)
    return Reader(tv.choice(*allowed), Input.CHOICE, choices=choices, instead=instead)


def reader_of(field: FieldInfo) -> Reader:
    """Return the reader that fits the type of a model's field.

    A closed list of words is a choice, an amount a number with its unit, a number a count, a
    tuple a list of names, and text is taken as it is.
    """
    kind, marks = _plain(field.annotation, list(field.metadata))
    held = [mark.func for mark in marks if isinstance(mark, AfterValidator)]
    kinds = next((check.kinds for check in held if isinstance(check, HeldTo)), ())
    if kinds:
        return amount(*kinds)
    if kind == YesNo:
        return YES_NO
    if get_origin(kind) is Literal:
        return choice(*get_args(kind))
    if get_origin(kind) is tuple:
        return NAMES
    return COUNT if kind is int else TEXT


def _plain(kind: Any, marks: list[object]) -> tuple[Any, list[object]]:  # noqa: ANN401 (any type)
    """Return a type without ``None`` and without its marks, and the marks."""
    if get_origin(kind) is Annotated:
        inner, *more = get_args(kind)
        return _plain(inner, [*more, *marks])
    if get_origin(kind) in (Union, UnionType):
        without_none = [part for part in get_args(kind) if part is not NoneType]
        return _plain(without_none[0], marks) if len(without_none) == 1 else (kind, marks)
    return kind, marks
