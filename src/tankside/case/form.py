"""The fields of a form for a kind of entry, as plain data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tankside.case.catalogue import CATALOGUE, Catalogue
from tankside.case.entry_kind import EntryKind
from tankside.case.reader import DATE, Input
from tankside.case.typed_entry import WHEN
from tankside.quantity import UNITS, Kind


@dataclass(frozen=True, slots=True)
class FormField:
    """One field of a form; what is filled in is typed text under ``name``.

    Args:
        name: the word under which the value is handed to the grammar; "" where it has none, or
            where the person gives it (``named_by_person``).
        label: what is written beside it.
        input: what is asked for.
        help: what it says, in one short line.
        example: a value as it may be filled in.
        required: whether it must be filled in.
        choices: the words to choose from.
        instead: what may be filled in in place of a value (``?``, ``not-looked``).
        kinds: kinds of quantity that an amount may be.
        units: units in which it may be told.
        repeats: whether it may be filled in several times.
        named_by_person: whether its name is a finding or what was counted.
    """

    name: str
    label: str
    input: Input
    help: str
    example: str = ""
    required: bool = False
    choices: tuple[str, ...] = ()
    instead: tuple[str, ...] = ()
    kinds: tuple[Kind, ...] = ()
    units: tuple[str, ...] = ()
    repeats: bool = False
    named_by_person: bool = False


_WHEN = FormField(
    WHEN, "when", DATE.input, "day or moment; left out, now or the latest day", "2026-03-04T18:30"
)


def form_fields(kind_name: str, catalogue: Catalogue = CATALOGUE) -> tuple[FormField, ...]:
    """Return the fields of the form of a kind of entry, those it needs first.

    Args:
        kind_name: word of the kind in a case file, for example ``water_test``.
        catalogue: the kinds of entry that there are.
    """
    kind = catalogue.by_name[kind_name]
    return (*_alone(kind), *_opened(kind), *_fixed(kind), _WHEN)


def _alone(kind: EntryKind[Any]) -> tuple[FormField, ...]:
    """Return the field for what may stand in place of all others, where there is such."""
    if not kind.alone:
        return ()
    stated = "there is none, or the keeper does not know; nothing else is filled in"
    return (FormField("", "in place of all others", Input.CHOICE, stated, choices=kind.alone),)


def _fixed(kind: EntryKind[Any]) -> tuple[FormField, ...]:
    return tuple(
        FormField(
            name=word.typed,
            label=word.label,
            input=word.read.input,
            help=word.declared.help,
            example=word.declared.example,
            required=word.required,
            choices=word.read.choices,
            instead=word.read.instead,
            kinds=word.read.kinds,
            units=_units(word.read.kinds),
            repeats=word.declared.repeats,
        )
        for word in kind.words
    )


def _opened(kind: EntryKind[Any]) -> tuple[FormField, ...]:
    """Return the field whose name the person gives, where the kind has such words."""
    stated = kind.open_words
    if stated is None:
        return ()
    return (
        FormField(
            name="",
            label=stated.key.lower(),
            input=Input.TEXT,
            help=stated.help,
            required=True,
            repeats=True,
            named_by_person=True,
        ),
    )


def _units(kinds: tuple[Kind, ...]) -> tuple[str, ...]:
    return tuple(text for kind in kinds for text in UNITS[kind])
