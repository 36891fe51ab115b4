"""Every kind of entry is declared whole, and what is made from the declarations holds together."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any, get_args

import pytest
from pydantic import BaseModel

from tankside.case import CATALOGUE, Entry, Fact, to_object
from tankside.case.completion import kind_completions, word_completions
from tankside.case.done import DEATH, Death
from tankside.case.entries_page import entries_page
from tankside.case.entry import FACT_KINDS, KINDS
from tankside.case.entry_kind import EntryKind, TypedWord, Word, typed_words
from tankside.case.form import FormField, form_fields
from tankside.case.parts import Mass, Name, Reading
from tankside.case.reader import COUNT, TEXT, Input
from tankside.case.typed_entry import hyphened
from tankside.case.typed_help import WIDTH, kinds_help
from tankside.case.typed_value import Door
from tankside.case.water_test import WATER_TEST
from tankside.errors import BadInput

SCHEMA = Path(__file__).parents[2] / "docs" / "schema" / "case.v1.json"
Make = Callable[..., list[Entry]]


def test_the_union_of_all_entries_is_the_list() -> None:
    for union, kinds in ((Entry, KINDS), (Fact, FACT_KINDS)):
        assert list(get_args(get_args(union)[0])) == [kind.model for kind in kinds]
    assert CATALOGUE.kinds == KINDS


def faults(kind: EntryKind[Any], door: Door) -> Iterator[str]:
    """Yield what is wrong with the declaration of a kind."""
    if not kind.help.endswith("."):
        yield "its model does not say what it is"
    spellings = [s for word in kind.words for s in set(word.spellings)]
    if len(set(spellings)) != len(spellings):
        yield "a spelling stands for two words"
    fields = set(kind.model.model_fields) | {word.name for word in kind.gathered}
    if "on" in spellings or not {word.name for word in kind.words} <= fields:
        yield "a word fills no field"
    if kind.typed_as and not kind.examples:
        yield "no example"
    if kind.observed and kind.before_opening:
        yield "may and may not be dated before the case began"
    for word in kind.words:
        yield from word_faults(word, door)


def word_faults(word: TypedWord, door: Door) -> Iterator[str]:
    if not word.declared.help or word.declared.help.endswith("."):
        yield f"{word.name}: the help is a short line without a stop"
    needs_example = word.read.input not in (Input.TEXT, Input.CHOICE, Input.YES_NO)
    if needs_example and not word.declared.example:
        yield f"{word.name}: no example"
    tried = [word.declared.example] if word.declared.example else []
    for text in (*tried, *word.read.choices, *word.read.instead):
        try:
            word.read.parse(text, word.name, door)
        except BadInput as refused:
            yield f"{word.name}: {text} is refused: {refused}"


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_declaration_is_whole(kind: EntryKind[Any], door: Door) -> None:
    assert list(faults(kind, door)) == []


class Unclear(Death):
    fish: Annotated[Name | None, Word("which fish.", also=("group",))] = None
    weight: Annotated[Mass | None, Word("how much it weighed", "2 L")] = None


PLANTED = {
    "no example": replace(DEATH, examples=()),
    "two readings of time": replace(DEATH, before_opening=True),
    "an example that is refused": replace(
        DEATH, gathered=(TypedWord("fish", Word("how many", "a few"), COUNT),)
    ),
    "a number without example": replace(
        DEATH, gathered=(TypedWord("fish", Word("how many"), COUNT),)
    ),
    "one spelling for two words": replace(
        DEATH, gathered=(TypedWord("fish", Word("who", typed="given"), TEXT),)
    ),
    "the word for the time": replace(DEATH, gathered=(TypedWord("on", Word("x"), TEXT),)),
    "a model that breaks all of it": replace(DEATH, model=Unclear),
}


@pytest.mark.parametrize("fault", PLANTED)
def test_a_planted_fault_of_a_declaration_is_found(fault: str, door: Door) -> None:
    assert list(faults(DEATH, door)) == []
    assert list(faults(PLANTED[fault], door))


@pytest.mark.parametrize(
    ("kind", "example"),
    [(kind, text) for kind in CATALOGUE.typed for text in kind.examples],
    ids=lambda part: part if isinstance(part, str) else part.name,
)
def test_an_example_is_taken_and_written_in_one_line(
    typed: Make, kind: EntryKind[Any], example: str
) -> None:
    entries = typed(example)
    assert {entry.kind for entry in entries} == {kind.name}
    for entry in entries:
        text = CATALOGUE.text(entry)
        assert text
        assert "\n" not in text


SIDES = ("inside_length", "inside_width", "water_height")
"""Words of a system that are only taken together."""
BESIDE = {
    "event": {"what": "x"}, "stock": {"name": "x"}, "agent_in_water": {"agent": "salt"},
    "water_test": {"ph": "7.4"}, "system": {"ozone": "no"},
}  # fmt: skip
"""What makes a whole entry of a kind, beside the words that the model asks for."""


def each_word() -> Iterator[tuple[EntryKind[Any], TypedWord]]:
    return ((kind, word) for kind in CATALOGUE.typed for word in kind.words)


def value_of(word: TypedWord) -> str:
    """Return a value of a word that differs from what it is when left out."""
    if word.declared.example:
        return word.declared.example.replace("main", "tub")
    return word.read.choices[-1] if word.read.choices else "some text"


@pytest.mark.parametrize(
    ("kind", "word"), list(each_word()), ids=lambda part: getattr(part, "name", "")
)
def test_every_word_of_a_kind_tells_something(
    made: Make, kind: EntryKind[Any], word: TypedWord
) -> None:
    """An entry with a word and its example is taken and differs from the one without it."""
    least = {other.typed: value_of(other) for other in kind.words if other.required}
    least |= BESIDE.get(kind.name, {}) | ({} if kind.open_words is None else {"flukes": "5"})
    if word.name in ("takes_away", "adds", *SIDES):
        least |= {w.typed: value_of(w) for w in kind.words if w.name in SIDES}
    named = kind.typed_as[0].word
    (entry,) = made(named, list((least | {word.typed: value_of(word)}).items()))
    assert CATALOGUE.text(entry)
    left = [pair for pair in least.items() if pair[0] != word.typed]
    try:
        (without,) = made(named, left)
    except BadInput:
        assert word.typed in least
    else:
        assert to_object(entry) != to_object(without)


def enums(at: object) -> Iterator[frozenset[str]]:
    """Yield every closed list below a part of a JSON Schema."""
    if isinstance(at, dict):
        if "enum" in at:
            yield frozenset(at["enum"])
        for part in at.values():
            yield from enums(part)
    elif isinstance(at, list):
        for part in at:
            yield from enums(part)


def test_the_choices_of_a_word_are_those_of_the_published_schema() -> None:
    published = json.loads(SCHEMA.read_text(encoding="utf-8"))["$defs"]
    compared = 0
    for kind in CATALOGUE.kinds:
        model: type[BaseModel] = kind.model
        for word in typed_words(model):
            if word.read.input in (Input.CHOICE, Input.YES_NO):
                unknown = {"keeper_does_not_know"} if word.read.instead else set()
                field = published[kind.model.__name__]["properties"][word.name]
                assert list(enums(field)) == [frozenset(word.read.choices) | unknown], word.name
                compared += 1
    assert compared > 25


def test_every_reading_of_a_water_test_has_its_word() -> None:
    assert {word.name for word in WATER_TEST.gathered} == {what.value for what in Reading}


def test_the_help_names_every_kind_and_every_word_in_lines_that_fit() -> None:
    text = kinds_help()
    for kind in CATALOGUE.typed:
        assert all(hyphened(named.word) in text for named in kind.typed_as if named.shown)
        for word in kind.words:
            assert f"{hyphened(word.typed)}=" in text
    assert max(map(len, text.splitlines())) <= WIDTH


def test_the_page_has_a_row_for_every_word_and_a_part_for_every_kind() -> None:
    parts = entries_page().split("\n## ")[1:]
    assert len(parts) == len(CATALOGUE.typed)
    for kind, part in zip(CATALOGUE.typed, parts, strict=True):
        rows = [line for line in part.splitlines() if line.startswith("| ")]
        assert len(rows) == (len(kind.words) + 1 if kind.words else 0)
        assert all(row.count("|") == 6 for row in rows)
        assert kind.help in part


def test_a_form_hands_over_what_the_grammar_takes(made: Make) -> None:
    """Every form filled in with its examples makes an entry; opening a case has a form too."""
    for kind in CATALOGUE.typed:
        named, fields = kind.typed_as[0].word, form_fields(kind.name)
        words = [filled(f) for f in fields if f.name or f.named_by_person]
        assert len(words) > len(kind.words)
        (entry,) = made(named, words)
        assert entry.kind == kind.name
        assert entry.moment.text == "2026-03-04T18:30+00:00"
    opening = {field.name: field for field in form_fields("opened")}
    assert [name for name, f in opening.items() if f.required] == [
        "name", "keeper", "water", "zone"]  # fmt: skip
    assert opening["water"].choices == ("fresh", "brackish", "marine")


def filled(field: FormField) -> tuple[str, str]:
    name = "flukes" if field.named_by_person else field.name
    return name, field.example or (field.choices or ("5",))[0]


def test_alone_stands_in_place_of_all_other_fields(made: Make) -> None:
    for name, word in (("event", "event"), ("agent_in_water", "in_water")):
        alone = form_fields(name)[0]
        assert (alone.name, alone.choices) == ("", ("none", "?"))
        for value, state in (("none", "none"), ("?", "keeper_does_not_know")):
            (entry,) = made(word, [(alone.name, value)])
            assert to_object(entry)["state"] == state


def test_completion_offers_words_and_behind_a_key_its_choices() -> None:
    assert word_completions("system", "uv") == ("uv=",)
    assert word_completions("system", "uv=") == ("uv=yes", "uv=no", "uv=?")
    assert word_completions("wet-mount", "skin") == ("skin-scrape",)
    assert word_completions("wet-mount", "sample=g") == ("sample=gill-clip",)
    assert word_completions("note", "text=") == ()
    assert "takes-away=" in word_completions("system", "t")
    assert kind_completions("wa") == ("water", "water-moved")
    with pytest.raises(BadInput, match="E-WORD-01"):
        word_completions("watr")
