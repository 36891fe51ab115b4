"""The kinds of entry and their words as the help of the command line."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from typing import Any

from tankside.case.catalogue import CATALOGUE, Catalogue
from tankside.case.entry_kind import EntryKind, TypedWord
from tankside.case.reader import Input
from tankside.case.typed_entry import hyphened

WIDTH = 80
_INDENT = "      "


def kinds_help(catalogue: Catalogue = CATALOGUE) -> str:
    """Return every kind of entry with all its words, ready to be printed.

    Args:
        catalogue: the kinds of entry that there are.
    """
    return "\n".join(line for kind in catalogue.typed for line in _kind_lines(kind))


def heading(kind: EntryKind[Any]) -> str:
    """Return the words that name a kind, and the value that needs no key."""
    named = ", ".join(hyphened(word.word) for word in kind.typed_as if word.shown)
    bare = kind.by_spelling.get("")
    if bare is None:
        return named
    place = hyphened(bare.typed).upper()
    return f"{named} {place}" if bare.required else f"{named} [{place}]"


def written(word: TypedWord) -> str:
    """Return a word as it is typed: with its choices, an example, or nothing behind it."""
    key = hyphened(word.typed)
    read = word.read
    if read.input is Input.CHOICE:
        return f"{key}={'|'.join(map(hyphened, (*read.choices, *read.instead)))}"
    example = word.declared.example
    notes = [f"also {hyphened(spelling)}" for spelling in word.declared.also]
    notes += ["may repeat"] if word.declared.repeats else []
    return f"{key}={quoted(example)}" + (f" ({', '.join(notes)})" if notes else "")


def quoted(value: str) -> str:
    """Return a value as a shell takes it: in quotes when it has a blank."""
    return f'"{value}"' if " " in value else value


def _kind_lines(kind: EntryKind[Any]) -> Iterator[str]:
    plain = [word for word in kind.words if word.read.input is Input.YES_NO]
    others = [word for word in kind.words if word not in plain]
    yield f"  {heading(kind)}"
    yield from textwrap.wrap(kind.help, WIDTH, initial_indent=_INDENT, subsequent_indent=_INDENT)
    if kind.open_words is not None:
        yield f"{_INDENT}{kind.open_words.key}={kind.open_words.value} ..."
    yield from _filled(map(written, others))
    if kind.alone:
        yield f"{_INDENT}or alone:  {'  '.join(kind.alone)}"
    if plain:
        yield from _filled(["yes, no or ?:", *(f"{hyphened(word.typed)}=" for word in plain)])


def _filled(pieces: Iterable[str]) -> Iterator[str]:
    """Fill lines with pieces that are not broken."""
    line = _INDENT
    for piece in pieces:
        if line != _INDENT and len(line) + len(piece) > WIDTH:
            yield line.rstrip()
            line = _INDENT
        line += piece + "  "
    if line != _INDENT:
        yield line.rstrip()
