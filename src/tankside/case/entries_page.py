"""The reference page of the docs on kinds of entry and their words, made from the declarations."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tankside.case.catalogue import CATALOGUE, Catalogue
from tankside.case.entry_kind import EntryKind, TypedWord
from tankside.case.kept_only import idle_fields
from tankside.case.reader import Input, Reader
from tankside.case.typed_entry import WHEN, hyphened
from tankside.case.typed_help import heading

_LEAD = f"""# Kinds of entry and their words

Made from the declarations of the program; do not edit. How a case is kept: `docs/case.md`.
[Index](README.md), [sources](sources.md).

Every kind takes `{WHEN}=`, a day (`2026-03-04`) or a moment (`2026-03-04T18:30`). Of the other
words those in **bold** are needed; what is left out was not asked.
"""


def entries_page(catalogue: Catalogue = CATALOGUE) -> str:
    """Return the page in Markdown.

    Args:
        catalogue: the kinds of entry that there are.
    """
    return "\n".join([_LEAD, *("\n".join(_part(kind)) for kind in catalogue.typed)])


def _part(kind: EntryKind[Any]) -> Iterator[str]:
    yield f"## `{heading(kind)}`\n"
    yield f"{kind.help}\n"
    yield "```text"
    yield from kind.examples
    yield "```\n"
    if kind.open_words is not None:
        opened = kind.open_words
        yield f"`{opened.key}={opened.value}`: {opened.help}.\n"
    idle = ", ".join(f"`{field}`" for field in idle_fields(kind.name))
    if idle:
        yield f"Kept, not used by any answer: {idle}.\n"
    if not kind.words:
        return
    yield "| word | also | says | value | example |"
    yield "|---|---|---|---|---|"
    for word in kind.words:
        yield "| " + " | ".join(_cell(cell) for cell in _row(word)) + " |"
    yield ""


def _row(word: TypedWord) -> tuple[str, ...]:
    typed = f"`{hyphened(word.typed)}`"
    also = dict.fromkeys(hyphened(s) for s in word.spellings if s and s != word.typed)
    notes = [word.declared.help]
    notes += ["needs no key"] if word.declared.bare else []
    notes += ["may repeat"] if word.declared.repeats else []
    return (
        f"**{typed}**" if word.required else typed,
        ", ".join(f"`{spelling}`" for spelling in also),
        "; ".join(notes),
        _value(word.read),
        f"`{word.declared.example}`" if word.declared.example else "",
    )


def _value(read: Reader) -> str:
    if read.input in (Input.CHOICE, Input.YES_NO):
        values = ", ".join(f"`{hyphened(word)}`" for word in read.choices)
    else:
        kinds = " or ".join(kind.value for kind in read.kinds)
        values = f"{read.input.value} ({kinds})" if kinds else read.input.value
    return values + "".join(f" or `{word}`" for word in read.instead)


def _cell(text: str) -> str:
    return text.replace("|", "/")
