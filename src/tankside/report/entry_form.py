"""A form for one kind of entry, as a page shows it: made from the declaration of the kind.

Nothing about a kind is said twice: labels, help, units and choices are those of the grammar. Only
the order of asking is set here: what is asked at once, and what is folded away under "More".
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from tankside.case.catalogue import CATALOGUE
from tankside.case.entry import Fact
from tankside.case.entry_kind import EntryKind
from tankside.case.form import FormField, form_fields
from tankside.case.reader import Input
from tankside.case.typed_again import typed_again
from tankside.case.typed_entry import named_kind
from tankside.case.typed_value import Typed
from tankside.errors import Mistake
from tankside.report.entry_form_words import ASKED_FIRST, INSTEAD, LABELS, TITLES

VALUE, UNIT, NAME, SAID, ALONE = "w.", "u.", "k.", "v.", "alone"
OPENED = "opened"
ROWS = 4
"""Rows for words that may be said several times."""
NAMED_ROWS = 8
"""Rows for what the person names: as many as a look at one fish gives."""

ON_PAGES_OF_THEIR_OWN = ("course_chosen", "photo")
"""Kinds that are entered on a page of their own."""

Sent = Mapping[str, Sequence[str]]


@dataclass(frozen=True, slots=True)
class ShownField:
    """One field of the page.

    Args:
        key: its name in the form that is sent.
        label: what stands beside it.
        hint: what it says, in a line.
        example: a value as it may be filled in; "" for none.
        look: how it is asked: text, number, amount, choice, date or lines.
        required: whether it must be filled in.
        choices: value and words of each choice.
        units: value and words of each unit, what may stand in place of a value last.
        values: what is filled in.
        unit: the unit that is chosen; "" for the first.
        fault: what is wrong with it; "" for nothing.
    """

    key: str
    label: str
    hint: str
    example: str
    look: str
    required: bool
    choices: tuple[tuple[str, str], ...] = ()
    units: tuple[tuple[str, str], ...] = ()
    values: tuple[str, ...] = ("",)
    unit: str = ""
    fault: str = ""


@dataclass(frozen=True, slots=True)
class NamedRow:
    """A row of which the person gives the name too."""

    name_key: str
    value_key: str
    name: str = ""
    value: str = ""


@dataclass(frozen=True, slots=True)
class EntryForm:
    """A form as shown.

    Args:
        word: the word that names the entry.
        title: what is asked, in a few words.
        help: what such an entry is.
        first: fields asked at once.
        more: fields folded away.
        rows: rows with a name of the person's choice; none where the kind has no such words.
        rows_hint: what name and value of a row are.
        mistake: why the form was refused, if it was.
        at_field: key of the field that is at fault; "" for none of them.
    """

    word: str
    title: str
    help: str
    first: tuple[ShownField, ...]
    more: tuple[ShownField, ...]
    rows: tuple[NamedRow, ...] = ()
    rows_hint: str = ""
    mistake: Mistake | None = None
    at_field: str = ""


def entry_form(word: str, sent: Sent | None = None, mistake: Mistake | None = None) -> EntryForm:
    """Return the form of a kind of entry.

    Args:
        word: the word that names the kind when it is typed, for example ``water``.
        sent: what was filled in, when the form comes back.
        mistake: why it comes back.

    Raises:
        BadInput: E-WORD-01 there is no such kind.
    """
    kind = _kind(word)
    declared = form_fields(kind.name)
    filled = sent or {}
    shown = [_shown(field, filled, mistake) for field in declared if not field.named_by_person]
    asked = ASKED_FIRST.get(kind.name, ())
    first = [field for field in shown if field.required or _name_of(field.key) in asked]
    first.sort(key=lambda field: _place(field, asked))
    person = next((field for field in declared if field.named_by_person), None)
    at_field = next((field.key for field in shown if field.fault), "")
    return EntryForm(
        word=word,
        title=TITLES[word],
        help=kind.help,
        first=tuple(first),
        more=tuple(field for field in shown if field not in first),
        rows=() if person is None else _rows(filled),
        rows_hint="" if person is None else person.help,
        mistake=mistake,
        at_field=at_field,
    )


def kinds_to_enter() -> tuple[tuple[str, str, str], ...]:
    """Return word, title and help of each kind that is entered by its own form."""
    return tuple(
        (word.word, TITLES[word.word], kind.help)
        for kind in CATALOGUE.typed
        for word in kind.typed_as
        if word.word in TITLES and kind.name not in ON_PAGES_OF_THEIR_OWN
    )


def typed_from(word: str, sent: Sent) -> list[Typed]:
    """Return what was filled in as typed words, as if they stood on a command line.

    Args:
        word: the word that names the kind of entry.
        sent: the form as it was sent.
    """
    typed: list[Typed] = []
    for field in form_fields(_kind(word).name):
        if field.named_by_person:
            typed += _named_by_person(sent)
        elif not field.name:
            typed += [("", text) for text in _filled(sent, ALONE)]
        else:
            typed += [(field.name, text) for text in _texts(field, sent)]
    return typed


def sent_again(entry: Fact, word: str) -> dict[str, list[str]]:
    """Return an entry as its form would have sent it, so that the form shows what it said.

    Args:
        entry: the entry.
        word: the word that names its kind.
    """
    fields = {field.name: field for field in form_fields(_kind(word).name)}
    sent: dict[str, list[str]] = {}
    named = 0
    for name, text in typed_again(entry):
        field = fields.get(name)
        if not name:
            sent[ALONE] = [text]
        elif field is None or field.named_by_person:
            sent[f"{NAME}{named}"], sent[f"{SAID}{named}"] = [name], [text]
            named += 1
        else:
            value, unit = _parted(text, field)
            sent.setdefault(VALUE + name, []).append(value)
            sent |= {UNIT + name: [unit]} if unit else {}
    return sent


def _parted(text: str, field: FormField) -> tuple[str, str]:
    """Part an amount from its unit, where the form has a box for each."""
    if field.input is not Input.AMOUNT:
        return text, ""
    if text in field.instead:
        return "", text
    value, _, unit = text.partition(" ")
    return (value, unit) if unit in field.units else (text, "")


def _kind(word: str) -> EntryKind[Any]:
    return CATALOGUE.by_name[OPENED] if word == OPENED else named_kind(word)[0]


def _texts(field: FormField, sent: Sent) -> list[str]:
    values = _filled(sent, VALUE + field.name)
    if field.input is not Input.AMOUNT:
        return values
    unit = (_filled(sent, UNIT + field.name) or [""])[0]
    if unit in field.instead:
        return [unit]
    return [
        f"{value} {unit}" if unit and unit != "pH" and _bare(value) else value for value in values
    ]


def _bare(value: str) -> bool:
    """Tell whether a number stands without its unit."""
    return not any(letter.isalpha() or letter == "%" for letter in value)


def _named_by_person(sent: Sent) -> list[Typed]:
    typed = []
    for key in sorted(name for name in sent if name.startswith(NAME)):
        for name in _filled(sent, key):
            said = _filled(sent, SAID + key.removeprefix(NAME))
            typed.append((name.strip().replace("-", "_").lower(), (said or [""])[0]))
    return typed


def _filled(sent: Sent, key: str) -> list[str]:
    return [value.strip() for value in sent.get(key, ()) if value.strip()]


def _rows(sent: Sent) -> tuple[NamedRow, ...]:
    rows = []
    for number in range(max(NAMED_ROWS, sum(key.startswith(NAME) for key in sent))):
        name, value = f"{NAME}{number}", f"{SAID}{number}"
        rows.append(NamedRow(name, value, _first(sent, name), _first(sent, value)))
    return tuple(rows)


def _first(sent: Sent, key: str) -> str:
    return next(iter(sent.get(key, ())), "")


def _shown(field: FormField, sent: Sent, mistake: Mistake | None) -> ShownField:
    key = ALONE if not field.name else VALUE + field.name
    shown = ShownField(
        key=key,
        label=LABELS.get(field.label, field.label),
        hint=field.help,
        example=field.example,
        look=_look(field),
        required=field.required,
        choices=tuple((choice, INSTEAD.get(choice, choice.replace("_", " "))) for choice in
                      (*field.choices, *(field.instead if field.choices else ()))),
        units=_units(field),
        values=tuple(sent.get(key, ())) or ("",),
        unit=_first(sent, UNIT + field.name),
    )  # fmt: skip
    if field.repeats:
        shown = replace(shown, values=(*shown.values, *("",) * (ROWS - len(shown.values))))
    if mistake is not None and mistake.field and mistake.field in (field.name, field.label):
        shown = replace(shown, fault=mistake.message)
    return shown


def _look(field: FormField) -> str:
    looks = {
        Input.AMOUNT: "amount",
        Input.CHOICE: "choice",
        Input.YES_NO: "choice",
        Input.DATE: "date",
        Input.WHOLE_NUMBER: "number",
    }
    return "lines" if field.repeats else looks.get(field.input, "text")


def _units(field: FormField) -> tuple[tuple[str, str], ...]:
    if field.input is not Input.AMOUNT:
        return ()
    instead = tuple((word, INSTEAD[word]) for word in field.instead)
    unsaid = (("", "which unit?"),) if any(" as " in unit for unit in field.units) else ()
    return (*unsaid, *((unit, unit) for unit in field.units), *instead)


def _name_of(key: str) -> str:
    return key.removeprefix(VALUE)


def _place(field: ShownField, asked: Sequence[str]) -> int:
    name = _name_of(field.key)
    return asked.index(name) if name in asked else -1
