"""What is declared of a kind of entry, and of a word that can be typed for it.

A word stands at the field of the model that it fills::

    carbon: Annotated[YesNo | None, Word("active carbon is in the filter")] = None

A kind of entry is one ``EntryKind`` beside its model. Grammar, help, forms, schema, reference
page and history take all they need from the two.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from typing import Generic, Literal, TypeVar

from pydantic import BaseModel

from tankside.case.dated import Dated
from tankside.case.parts import Looked
from tankside.case.reader import Reader, reader_of
from tankside.case.typed_value import Door, Fields, Typed
from tankside.case.wording import Wording

M = TypeVar("M", bound=Dated)
Shape = Callable[[Fields, list[Typed], Door], None]
"""Puts together what several typed words say; takes what it reads out of the words left over."""


@dataclass(frozen=True, slots=True)
class Word:
    """A word that can be typed for an entry, declared at the field that it fills.

    Args:
        help: what it says, in one short line.
        example: a value as it may be typed; "" where the choices say enough.
        typed: the word as it is typed; "" is the name of the field, which is always taken.
        also: other spellings that are taken.
        read: how typed text is read; None goes by the type of the field.
        bare: whether a value without a key means this word.
        required: whether it must be typed; None goes by the model.
        repeats: whether it may be typed several times.
    """

    help: str
    example: str = ""
    typed: str = ""
    also: tuple[str, ...] = ()
    read: Reader | None = None
    bare: bool = False
    required: bool | None = None
    repeats: bool = False


@dataclass(frozen=True, slots=True)
class TypedWord:
    """A declared word with its name, and what was left to its field.

    Args:
        name: the field that it fills, or the name under which a shape finds it.
        opening_line: what was declared.
        read: how typed text is read.
        required: whether it must be typed.
    """

    name: str
    declared: Word
    read: Reader
    required: bool = False

    @property
    def typed(self) -> str:
        """The word as it is typed, with underscores."""
        return self.declared.typed or self.name

    @property
    def spellings(self) -> tuple[str, ...]:
        """Every spelling that is taken; the empty one stands for a value without a key."""
        return (self.typed, self.name, *self.declared.also, *([""] if self.declared.bare else []))

    @property
    def label(self) -> str:
        """What is written beside its value."""
        return self.name.replace("_", " ")


@cache
def typed_words(model: type[BaseModel]) -> tuple[TypedWord, ...]:
    """Return the words that stand at the fields of a model."""
    typed_list = []
    for name, at in model.model_fields.items():
        for word in at.metadata:
            if isinstance(word, Word):
                required = at.is_required() if word.required is None else word.required
                typed_list.append(TypedWord(name, word, word.read or reader_of(at), required))
    return tuple(typed_list)


@dataclass(frozen=True, slots=True)
class KindWord:
    """A word that names a kind of entry.

    Args:
        word: the word, with underscores.
        preset: fields that the word itself tells.
        shown: False for a second spelling that is taken and not listed.
    """

    word: str
    preset: Mapping[str, object] = field(default_factory=dict)
    shown: bool = True


@dataclass(frozen=True, slots=True)
class OpenWords:
    """Keys that are not fixed: the names of what was looked for.

    Args:
        key: how the help writes the key, for example ``FINDING``.
        value: how the help writes its value.
        help: what key and value are, in one short line.
        read: from the fields read so far and the open words to entries.
    """

    key: str
    value: str
    help: str
    read: Callable[[Fields, Sequence[Typed], Door], list[Fields]]


@dataclass(frozen=True, kw_only=True)
class EntryKind(Generic[M]):
    """One kind of entry, declared once.

    Args:
        model: its fields; the first paragraph of its docstring says what it is.
        text: the entry in one line, without number and date.
        called: what stands before that line; "" for the name of the kind in words.
        typed_as: the words that name it when it is typed; none: it is not typed.
        gathered: words that a shape puts together to fields.
        shapes: what puts them together.
        open_words: keys that are names of what was looked for.
        alone: values that may stand in place of all words.
        examples: entries as they may be typed.
        which_system: where the system was not told: ``ask`` which of several it is, or ``take``
            the only one there is and leave it open otherwise.
        which_system_with: the field with which it matters which; None for every such entry.
        before_opening: whether it may be typed with a day before the case began.
        observed: whether a day before the case began is refused wherever it comes from.
        after_closing: whether it may follow the end of the case.
        rests_on_seen: whether it was worked out or decided from the case as somebody saw it.
        adds_up: whether an entry counts once more when it is told once more; None: none does.
        looks: what such an entry says of findings.
    """

    model: type[M]
    text: Callable[[M, Wording], str]
    called: str = ""
    typed_as: tuple[KindWord, ...] = ()
    gathered: tuple[TypedWord, ...] = ()
    shapes: tuple[Shape, ...] = ()
    open_words: OpenWords | None = None
    alone: tuple[str, ...] = ()
    examples: tuple[str, ...] = ()
    which_system: Literal["ask", "take"] | None = None
    which_system_with: str | None = None
    before_opening: bool = False
    observed: bool = False
    after_closing: bool = False
    rests_on_seen: bool = False
    adds_up: Callable[[M], bool] | None = None
    looks: Callable[[M], tuple[Looked, ...]] | None = None

    @property
    def name(self) -> str:
        """The word of the kind in a case file."""
        return str(self.model.model_fields["kind"].default)

    @property
    def title(self) -> str:
        """What such an entry is called where it is shown."""
        return self.called or self.name.replace("_", " ")

    @property
    def help(self) -> str:
        """What such an entry is, in a sentence."""
        opening_line = inspect.getdoc(self.model) or ""
        return " ".join(opening_line.split("\n\n")[0].split())

    @cached_property
    def words(self) -> tuple[TypedWord, ...]:
        """Every word that can be typed for it: those it needs, those put together, the others."""
        own_words = typed_words(self.model)
        needed = [word for word in own_words if word.required]
        return (*needed, *self.gathered, *(word for word in own_words if not word.required))

    @cached_property
    def by_spelling(self) -> Mapping[str, TypedWord]:
        """The word of each spelling."""
        return {spelling: word for word in self.words for spelling in word.spellings}
