"""Typed words to entries: the one grammar of the command line, CSV columns and page forms.

An entry is typed as a kind, a few bare words, and ``key=value`` words. In every kind ``on=``
says when (``2026-03-04`` or ``2026-03-04T18:30``). Keys may be written with hyphens. Left out
means not asked; ``?`` means asked, the keeper does not know, in every word of every kind;
``not-looked`` means not examined; ``none`` means examined and absent. Which words a kind has is
declared beside its model.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from typing import Any

from tankside.case import typed_value as tv
from tankside.case.catalogue import CATALOGUE, Catalogue
from tankside.case.entry_kind import EntryKind, KindWord, TypedWord
from tankside.case.typed_value import NOT_KNOWN, Door, Fields, Typed, refuse
from tankside.quantity.moment import check_moment, parse_moment

WHEN = "on"
"""The key that every kind has: when it happened."""


def hyphened(word: str) -> str:
    """Write a word as it is shown to be typed."""
    return word.replace("_", "-")


def split_words(words: Iterable[str]) -> list[Typed]:
    """Part ``key=value`` words; a bare word has an empty key."""
    pairs = []
    for word in words:
        pair = re.match(r"([A-Za-z][A-Za-z0-9_.-]*)=", word)
        plain = pair.group(1).replace("-", "_").lower() if pair else ""
        pairs.append((plain, word[pair.end() :] if pair else word))
    return pairs


def named_kind(kind_word: str, catalogue: Catalogue = CATALOGUE) -> tuple[EntryKind[Any], KindWord]:
    """Return the kind of entry that a word names, and what the word tells of it.

    Raises:
        BadInput: E-WORD-01.
    """
    pairs = catalogue.by_word.get(kind_word.replace("-", "_").lower())
    if pairs is None:
        kinds = ", ".join(sorted(map(hyphened, catalogue.by_word)))
        raise refuse("E-WORD-01", "Unknown kind of entry.", kind_word, kinds, "kind")
    return pairs


def typed_entries(
    kind_word: str, words: Sequence[Typed], door: Door, catalogue: Catalogue = CATALOGUE
) -> list[Fields]:
    """Turn typed words into the fields of one or more entries.

    Several findings or counts typed together become one entry each.

    Args:
        kind_word: what is entered, for example ``water`` or ``wet-mount``.
        words: keys and values; a bare word has an empty key.
        door: zone, present time and decimal mark.
        catalogue: the kinds of entry that there are.

    Returns:
        Fields of entries without ``id``, ``recorded_at`` and ``by``.

    Raises:
        BadInput: E-WORD-01 unknown kind or key, E-WORD-02 unknown answer, E-DUP-01 a key twice,
            or the code of the number, unit or date that is refused.
    """
    kind, named = named_kind(kind_word, catalogue)
    keyed, loose = _read(kind, words, door)
    base: Fields = {"kind": kind.name, **named.preset, **_when(kind, loose, door), **keyed}
    for shape in kind.shapes:
        shape(base, loose, door)
    matters = kind.which_system_with is None or kind.which_system_with in base
    if kind.which_system is not None and matters and "system" not in base:
        _which_system(kind, base, door)
    if kind.open_words is not None:
        loose = [_as_printed(pair) for pair in loose]
        _check_open(kind, loose)
        return kind.open_words.read(base, loose, door)
    for name, text in loose:
        raise _unknown(kind, name, text)
    return [base]


def with_words(kind: EntryKind[Any], before: Fields, words: Sequence[Typed], door: Door) -> Fields:
    """Return the fields of an entry with what is typed in place of what it said before.

    Args:
        kind: what kind of entry it is.
        before: its fields.
        words: keys and values as typed; what is not known stands no longer as it was.
        door: zone, present time and decimal mark.

    Raises:
        BadInput: like ``typed_entries``.
    """
    keyed, loose = _read(kind, words, door)
    at = _when(kind, loose, door) if any(name == WHEN for name, _ in loose) else {}
    for name, text in loose:
        raise _unknown(kind, name, text)
    unknown = [*before.get("not_known", ()), *keyed.pop("not_known", ())]  # type: ignore[misc]
    kept = {k: v for k, v in before.items() if k not in (*unknown, "not_known")}
    asked = [name for name in unknown if name not in keyed]
    return {**kept, **at, **keyed, **({"not_known": asked} if asked else {})}


def _read(kind: EntryKind[Any], words: Sequence[Typed], door: Door) -> tuple[Fields, list[Typed]]:
    """Read the words of the kind; return the others as they are."""
    fields: Fields = {}
    loose: list[Typed] = []
    repeated: dict[str, list[object]] = {}
    not_known: list[str] = []
    for spelling, text in words:
        word = kind.by_spelling.get(spelling)
        if word is None or (not spelling and _stands_alone(kind, text)):
            loose.append((spelling, text))
        elif text in NOT_KNOWN and NOT_KNOWN[0] not in word.read.instead:
            not_known.append(_not_known(word, text))
        elif word.declared.repeats:
            pairs = word.read.parse(text, word.name, door)
            fields[word.name] = repeated.setdefault(word.name, [])
            repeated[word.name].append(pairs)
        elif word.name in fields:
            raise _twice(word.name, text)
        else:
            fields[word.name] = word.read.parse(text, word.name, door)
    if both := next((name for name in not_known if name in fields), None):
        raise _twice(both, NOT_KNOWN[0])
    return fields | ({"not_known": list(dict.fromkeys(not_known))} if not_known else {}), loose


def _stands_alone(kind: EntryKind[Any], text: str) -> bool:
    """Whether a value without a key is no value: "?" in place of all, or a name with its answer."""
    printed = kind.open_words is not None and re.search(r"=|: ", text) is not None
    return printed or (text in NOT_KNOWN and bool(kind.alone))


def _not_known(word: TypedWord, text: str) -> str:
    """Return the word that nobody could answer; an entry is nothing without some words."""
    if word.required or word.declared.bare:
        message = "Without this there is nothing to enter."
        needed = word.declared.help + (
            f", for example {word.declared.example}" * bool(word.declared.example)
        )
        raise refuse("E-WORD-02", message, text, needed, word.name)
    return word.name


def _twice(name: str, text: str, needed: str = "each key once") -> Exception:
    return refuse("E-DUP-01", "This key is given twice.", text, needed, name)


def _when(kind: EntryKind[Any], loose: list[Typed], door: Door) -> Fields:
    typed = [pair for pair in loose if pair[0] == WHEN]
    for pair in typed:
        loose.remove(pair)
    if len(typed) > 1:
        raise _twice(WHEN, typed[1][1], "one time")
    at = door.standing_at
    if typed:
        at = parse_moment(typed[0][1], field=WHEN, zone=door.zone)
        began = None if kind.before_opening else door.opened
        check_moment(at, field=WHEN, now=door.now, began=began)
    return {"occurred_at": at.text} | ({"day_only": True} if at.day_only else {})


def _unknown(kind: EntryKind[Any], name: str, text: str) -> Exception:
    if not name:
        return refuse("E-WORD-01", "This value has no key.", text, "key=value", kind.name)
    allowed = [hyphened(word) for word in (WHEN, *(word.typed for word in kind.words))]
    near = difflib.get_close_matches(hyphened(name), allowed, 1)
    needed = f"perhaps {near[0]}=; else one of: " if near else "one of: "
    return refuse(
        "E-WORD-01", "This key does not belong here.", name, needed + ", ".join(allowed), name
    )


def _which_system(kind: EntryKind[Any], base: Fields, door: Door) -> None:
    """Take the one system there is; where there are several and no main one, ask."""
    if not door.systems or "main" in door.systems:
        return
    if len(door.systems) == 1:
        base["system"] = door.systems[0]
    elif kind.which_system == "ask":
        needed = "one of: " + ", ".join(door.systems)
        raise refuse("E-WORD-03", "Say in which system.", "", needed, "system")


def _as_printed(pair: Typed) -> Typed:
    """Part a name of several words from its answer: ``Spot size = grain``, ``spot size: grain``."""
    name, text = pair
    printed = None if name else re.fullmatch(r"([^\W\d][^=:]*?)\s*[=:]\s*(\S.*)", text.strip())
    return (tv.slug(printed.group(1)), printed.group(2)) if printed else (name, text.strip())


def _check_open(kind: EntryKind[Any], words: Sequence[Typed]) -> None:
    """Check that each thing looked for has its name and stands once."""
    seen: set[str] = set()
    for name, text in words:
        if name in seen:
            raise _twice(name, text)
        seen.add(name)
    for name, text in words:
        if not name:
            raise _unknown(kind, name, text)
