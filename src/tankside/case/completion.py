"""What a shell may offer behind ``case add FILE``: kinds of entry, their words, their choices."""

from __future__ import annotations

from tankside.case.catalogue import CATALOGUE, Catalogue
from tankside.case.typed_entry import WHEN, hyphened, named_kind


def kind_completions(begun: str = "", catalogue: Catalogue = CATALOGUE) -> tuple[str, ...]:
    """Return the words that name a kind of entry and begin as typed so far."""
    words = [hyphened(w.word) for kind in catalogue.typed for w in kind.typed_as if w.shown]
    return tuple(word for word in words if word.startswith(begun))


def word_completions(
    kind_word: str, begun: str = "", catalogue: Catalogue = CATALOGUE
) -> tuple[str, ...]:
    """Return what may follow a kind of entry: its words, or behind ``key=`` its choices.

    Args:
        kind_word: the kind as typed, for example ``wet-mount``.
        begun: what is typed of the word so far.
        catalogue: the kinds of entry that there are.

    Raises:
        BadInput: E-WORD-01 when there is no such kind.
    """
    kind, _ = named_kind(kind_word, catalogue)
    key, equals, _ = begun.partition("=")
    if equals:
        word = kind.by_spelling.get(key.replace("-", "_"))
        read = None if word is None else word.read
        offered = [] if read is None else [f"{key}={c}" for c in (*read.choices, *read.instead)]
    else:
        bare = kind.by_spelling.get("")
        offered = [*kind.alone, *(() if bare is None else bare.read.choices)]
        offered += [f"{word.typed}=" for word in kind.words] + [f"{WHEN}="]
    return tuple(text for text in map(hyphened, offered) if text.startswith(begun))
