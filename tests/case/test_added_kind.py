"""A kind of entry is declared once: its record and a place in the list are all it needs.

The demonstration kind below stands in no list of the program. Added to the list, it is in the
grammar, help, completion, forms, schema, reference page and one-line text. So is a property that
is added to the tank.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Annotated, Literal

import jsonschema
import pytest

from tankside.case import Entry, entry_from, fold, to_object
from tankside.case.catalogue import Catalogue
from tankside.case.completion import kind_completions, word_completions
from tankside.case.dated import Dated
from tankside.case.entries_page import entries_page
from tankside.case.entry import KINDS
from tankside.case.entry_kind import EntryKind, KindWord, Word
from tankside.case.form import form_fields
from tankside.case.parts import Mass, Name, YesNo
from tankside.case.reader import Input
from tankside.case.schema import case_schema
from tankside.case.system import QUESTIONS, SYSTEM, Property, SystemDescribed, properties_told
from tankside.case.typed_help import kinds_help
from tankside.case.wording import Wording, amount_text, joined
from tankside.errors import BadInput
from tankside.quantity import UNITS, Kind
from tankside.quantity.show import NO_BREAK

Typed = Callable[..., list[Entry]]


class FeedGiven(Dated):
    """Feed that was given that day."""

    kind: Literal["feed_given"] = "feed_given"
    feed: Annotated[Name, Word("what was fed", "flakes", bare=True)]
    amount: Annotated[Mass | None, Word("how much was given", "2 g", typed="given")] = None
    eaten: Annotated[Literal["all", "some_of_it"] | None, Word("how much of it was eaten")] = None
    soaked: Annotated[YesNo | None, Word("it was soaked before")] = None


def feed_text(entry: FeedGiven, _: Wording) -> str:
    return joined(entry.feed, None if entry.amount is None else amount_text(entry.amount))


FEED_GIVEN = EntryKind(
    model=FeedGiven,
    text=feed_text,
    typed_as=(KindWord("feed"), KindWord("feeds", shown=False)),
    examples=('feed flakes given="2 g" eaten=some-of-it',),
    observed=True,
)
WITH_FEED = Catalogue((*KINDS, FEED_GIVEN))


def test_a_kind_added_to_the_list_can_be_typed_kept_and_read_back(typed: Typed) -> None:
    (entry,) = typed('feed flakes given="2 g" eaten=some-of-it soaked=? on=2026-03-04', WITH_FEED)
    assert isinstance(entry, FeedGiven)
    as_object = to_object(entry)
    assert as_object["kind"] == "feed_given"
    assert as_object["amount"] == {"value": "2", "unit": "g"}
    assert as_object["eaten"] == "some_of_it"
    assert as_object["soaked"] == "keeper_does_not_know"
    assert entry_from(as_object, WITH_FEED) == entry
    assert typed("feeds flakes", WITH_FEED) == typed("feed-given flakes", WITH_FEED)


def test_a_kind_added_to_the_list_is_refused_like_any_other(typed: Typed) -> None:
    for words, code in (
        ("feed flakes given=2", "E-UNIT-01"), ('feed flakes given="2 L"', "E-UNIT-02"),
        ("feed flakes eaten=most", "E-WORD-02"), ("feed flakes colour=red", "E-WORD-01"),
        ("feed flakes feed=pellets", "E-DUP-01"), ("feed", "E-CASE-04"),
        ("feed flakes on=2026-03-01", "E-DATE-03"),
    ):  # fmt: skip
        with pytest.raises(BadInput) as refused:
            typed(words, WITH_FEED)
        assert refused.value.code == code, words
    with pytest.raises(BadInput, match="Unknown kind of entry"):
        typed("feed flakes")


def test_a_kind_added_to_the_list_stands_in_the_history_and_keeps_its_time(
    typed: Typed, opened: Entry
) -> None:
    (entry,) = typed('feed flakes given="2 g"', WITH_FEED)
    view = fold([opened, entry], WITH_FEED)
    assert view.history[-1].entry == entry
    assert WITH_FEED.text(entry) == f"flakes, 2{NO_BREAK}g"
    early = entry.model_copy(update={"occurred_at": "2026-02-01T00:00+00:00"})
    with pytest.raises(BadInput, match="E-DATE-03"):
        fold([opened, early], WITH_FEED)


def test_a_kind_added_to_the_list_is_in_the_help_and_the_completion() -> None:
    help_text = kinds_help(WITH_FEED)
    assert "  feed FEED\n      Feed that was given that day.\n" in help_text
    assert 'feed=flakes  given="2 g"  eaten=all|some-of-it' in help_text
    assert "yes, no or ?:  soaked=" in help_text
    assert "feed" in kind_completions("f", WITH_FEED)
    assert "feed" not in kind_completions("f")
    assert word_completions("feed", "", WITH_FEED) == (
        "feed=", "given=", "eaten=", "soaked=", "on=")  # fmt: skip
    assert word_completions("feed", "eaten=", WITH_FEED) == ("eaten=all", "eaten=some-of-it")


def test_a_kind_added_to_the_list_has_a_form() -> None:
    fields = form_fields("feed_given", WITH_FEED)
    assert [(f.name, f.label, f.input, f.required) for f in fields] == [
        ("feed", "feed", Input.TEXT, True),
        ("given", "amount", Input.AMOUNT, False),
        ("eaten", "eaten", Input.CHOICE, False),
        ("soaked", "soaked", Input.YES_NO, False),
        ("on", "when", Input.DATE, False),
    ]
    assert fields[1].kinds == (Kind.MASS,)
    assert fields[1].units == tuple(UNITS[Kind.MASS])
    assert fields[2].choices == ("all", "some_of_it")
    assert fields[3].instead == ("?",)


def test_a_kind_added_to_the_list_is_in_the_schema_and_on_the_reference_page(typed: Typed) -> None:
    (entry,) = typed('feed flakes given="2 g"', WITH_FEED)
    jsonschema.Draft202012Validator(case_schema(WITH_FEED)).validate(to_object(entry))
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(case_schema()).validate(to_object(entry))
    page = entries_page(WITH_FEED)
    assert "## `feed FEED`\n\nFeed that was given that day.\n" in page
    row = "| `given` | `amount` | how much was given | number with its unit (mass) | `2 g` |"
    assert row in page
    assert "| `eaten` |  | how much of it was eaten | `all`, `some-of-it` |  |" in page
    assert row not in entries_page()


class PondDescribed(SystemDescribed):
    """Water with one property more."""

    shade: Annotated[YesNo | None, Property("it lies in the shade", remark="at noon")] = None


def test_a_property_added_to_the_tank_is_typed_shown_and_in_help_form_and_page(
    typed: Typed,
) -> None:
    ponds = Catalogue(tuple(
        replace(kind, model=PondDescribed) if kind is SYSTEM else kind for kind in KINDS
    ))  # fmt: skip
    (entry,) = typed('system pond shade=yes heater-dial="28 C"', ponds)
    assert isinstance(entry, PondDescribed)
    assert list(properties_told(entry)) == [
        ("heater dial", f"28{NO_BREAK}C", "the dial; read the thermometer"),
        ("shade", "yes", "at noon"),
    ]
    assert ponds.text(entry).endswith("shade yes")
    assert "shade=" in kinds_help(ponds)
    assert "| `shade` |  | it lies in the shade | `yes`, `no` or `?` |  |" in entries_page(ponds)
    assert "shade" in [field.name for field in form_fields("system", ponds)]


def test_what_is_asked_of_every_system_is_a_property_with_its_question() -> None:
    assert list(QUESTIONS) == [
        "carbon", "uv", "filter_ripe", "air_stone", "plants", "invertebrates",
        "tap"]  # fmt: skip
    assert all(question.endswith("?") for question in QUESTIONS.values())
