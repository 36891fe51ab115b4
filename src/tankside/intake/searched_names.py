"""What a searched name means on file: Latin, common and old names of animals, causes and agents."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from tankside.claims import Knowledge, whole_setting
from tankside.claims.substance_names import names_of

MOST_MEANT = whole_setting(12, "kinds of one genus and its varieties; a word of more is no name")
Near = Callable[[str, Iterable[str]], list[str]]
"""Returns those of some words that a word is a slip of the pen from."""
Plain = Callable[[str], tuple[str, ...]]
"""Returns the words of a text as they are searched."""


def names_meant(facts: Knowledge, word: str, plain: Plain, near: Near) -> list[frozenset[str]]:
    """Return the words of every name of what is called so on file.

    A word that many things carry ("tetra") means none of them in particular.

    Args:
        facts: what is on file.
        word: a plain word.
        plain: how the words of a name are told apart.
        near: which words are slips of the pen; asked where no name has the word itself.
    """
    index = _index(facts, plain)
    spelt = [word] if word in index.called else near(word, index.called)
    meant = {short for name in spelt for short in index.called[name]}
    if len(meant) > MOST_MEANT:
        return []
    return [name for short in sorted(meant) for name in index.names[short]]


@dataclass(frozen=True, slots=True)
class _NameIndex:
    """Short names by the words of their names, and the words of each name by short name."""

    called: Mapping[str, frozenset[str]]
    names: Mapping[str, frozenset[frozenset[str]]]


@lru_cache(maxsize=2)
def _index(facts: Knowledge, plain: Plain) -> _NameIndex:
    called: dict[str, set[str]] = defaultdict(set)
    names: dict[str, set[frozenset[str]]] = defaultdict(set)
    for short, name in _names(facts):
        words = frozenset(plain(name))
        names[short] |= {words, frozenset({short.casefold()})}
        for word in words:
            called[word].add(short)
    return _NameIndex(
        {word: frozenset(shorts) for word, shorts in called.items()},
        {short: frozenset(spelt) for short, spelt in names.items()},
    )


def _names(facts: Knowledge) -> Iterator[tuple[str, str]]:
    """Yield (short name, name) of everything that a case can name by its short name."""
    for host in facts.hosts.values():
        yield from ((host.id, name) for name in (host.name, host.latin, host.id, *host.also))
    for agent in facts.agents.values():
        yield from ((agent.id, name) for name, _ in names_of(agent))
    for condition in facts.conditions.values():
        yield from ((condition.id, name) for name in (condition.id, condition.name))
        organism = facts.organisms.get(condition.organism)
        if organism is not None:
            yield from ((condition.id, name) for name in (organism.latin, organism.name))
        elif condition.organism:
            yield condition.id, condition.organism
