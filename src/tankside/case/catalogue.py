"""The kinds of entry as one object: what the codec, the grammar, help and forms look up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, reduce
from operator import or_
from typing import Annotated, Any

from pydantic import Field, TypeAdapter

from tankside.case.entry import KINDS, Entry
from tankside.case.entry_kind import EntryKind, KindWord
from tankside.case.parts import Looked
from tankside.case.wording import STATES, FindingWords, Wording, as_typed, joined, plain


@dataclass(frozen=True)
class Catalogue:
    """The kinds of entry that a case may hold.

    Args:
        kinds: every kind, in the order of help and forms.
    """

    kinds: tuple[EntryKind[Any], ...]

    @cached_property
    def by_name(self) -> Mapping[str, EntryKind[Any]]:
        """Each kind by its word in a case file."""
        return {kind.name: kind for kind in self.kinds}

    @cached_property
    def typed(self) -> tuple[EntryKind[Any], ...]:
        """The kinds that can be typed."""
        return tuple(kind for kind in self.kinds if kind.typed_as)

    @cached_property
    def by_word(self) -> Mapping[str, tuple[EntryKind[Any], KindWord]]:
        """Each word that names a kind; the word of the case file is always taken."""
        by_own_name = {kind.name: (kind, KindWord(kind.name)) for kind in self.typed}
        return by_own_name | {
            word.word: (kind, word) for kind in self.typed for word in kind.typed_as
        }

    @cached_property
    def adapter(self) -> TypeAdapter[Entry]:
        """What checks an entry that came as JSON data."""
        union: Any = reduce(or_, (kind.model for kind in self.kinds))
        return TypeAdapter(Annotated[union, Field(discriminator="kind")])

    def of(self, entry: Entry) -> EntryKind[Any]:
        """Return the kind of an entry."""
        return self.by_name[entry.kind]

    def text(self, entry: Entry, finding_words: FindingWords = as_typed) -> str:
        """Write what one entry says in one line, without its number and date.

        Args:
            entry: the entry.
            finding_words: label and answers of what was looked at, in plain words.
        """
        wording = Wording(finding_words, lambda other: self.text(other, finding_words))
        unknown = map(plain, getattr(entry, "not_known", ()))
        return joined(
            self.of(entry).text(entry, wording),
            *(f"{word}: {STATES['keeper_does_not_know']}" for word in unknown),
        )

    def looks(self, entry: Entry) -> tuple[Looked, ...]:
        """Return what an entry says of findings."""
        looks = self.of(entry).looks
        return () if looks is None else looks(entry)


CATALOGUE = Catalogue(KINDS)
"""The kinds of entry of every case."""
