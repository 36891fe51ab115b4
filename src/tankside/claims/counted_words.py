"""What can be counted in a case: which parasites are counted so, which finding it answers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache

from tankside.claims.cited import setting, whole_setting
from tankside.claims.claim import Claim
from tankside.claims.knowledge import Knowledge

COUNTED = "practice.counted."
_NEAR = setting(0.7, "letters in common, as a share, from which a word may be a slip of the pen")
_MOST_NEAR = whole_setting(4, "words shown beside a slip of the pen")


@dataclass(frozen=True, slots=True)
class Countable:
    """One thing that can be counted.

    Args:
        id: its short name.
        words: what a count of it may be typed as, the usual word first.
        organisms: ids of the parasites that a number of it counts; none where it is a sign.
        finding: id of the finding that it answers, "" when none does.
        answers: the answers of it that fit when some were there; empty for all but the healthy.
        sites: where it must be counted to answer the finding; empty for anywhere.
    """

    id: str
    words: tuple[str, ...]
    organisms: tuple[str, ...] = ()
    finding: str = ""
    answers: tuple[str, ...] = ()
    sites: tuple[str, ...] = ()


def countables(facts: Knowledge) -> tuple[Countable, ...]:
    """Return everything that can be counted, in the order of the file."""
    return tuple(
        _countable(key.removeprefix(COUNTED), claims[0])
        for key, claims in facts.facts.items()
        if key.startswith(COUNTED)
    )


def countable(facts: Knowledge, typed: str) -> Countable | None:
    """Return what a word of a count means; None when nothing on file is called so.

    A listed word, the id of the finding that it answers, or a parasite by its id or genus.

    Args:
        facts: what is known.
        typed: the word of the count, as typed.
    """
    word = _compared(typed)
    listed = _by_word(countables(facts)).get(word)
    if listed is not None:
        return listed
    called = [name for name in facts.organisms if word in (_compared(name), _genus(name))]
    return Countable(typed, (typed,), tuple(called)) if called else None


def near_words(facts: Knowledge, typed: str) -> tuple[str, ...]:
    """Return words a count may have been meant as: those that hold it, else those nearest."""
    word = _compared(typed)
    written = {_compared(said): said for thing in countables(facts) for said in thing.words}
    holding = [said for plain, said in written.items() if word and word in plain]
    near = get_close_matches(word, list(written), _MOST_NEAR, _NEAR)
    return tuple(dict.fromkeys((*holding, *(written[plain] for plain in near))))[:_MOST_NEAR]


def _countable(name: str, claim: Claim) -> Countable:
    parts = claim.conditions
    return Countable(
        name,
        _listed(str(claim.value)),
        _listed(parts.get("of", "")),
        parts.get("finding", ""),
        _listed(parts.get("answer", "")),
        _listed(parts.get("site", "")),
    )


@lru_cache(maxsize=2)
def _by_word(things: tuple[Countable, ...]) -> Mapping[str, Countable]:
    by_finding = {
        _compared(thing.finding): thing
        for thing in reversed(things)
        if thing.finding and thing.organisms and not thing.answers
    }
    return by_finding | {_compared(word): thing for thing in things for word in thing.words}


def _listed(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(",") if part.strip())


def _compared(word: str) -> str:
    """Return a word as words are compared: small letters only, without the plural s."""
    return re.sub(r"[\W_]+", "", word.lower()).removesuffix("s")


def _genus(organism: str) -> str:
    return _compared(organism.split("_")[0])
