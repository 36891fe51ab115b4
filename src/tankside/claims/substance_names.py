"""What a substance is called: from a name as typed to the one agent on file that it means.

Names are compared without capital letters, blanks, signs, accents, plural and the ways to write
sulph; a name that is only near is never taken for the one it is near to.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from enum import StrEnum
from functools import lru_cache

from tankside.claims.agent import Agent
from tankside.claims.cited import setting, whole_setting
from tankside.claims.knowledge import Knowledge

AMBIGUOUS = "practice.ambiguous_names"
OTHER = "other"
"""What stands among the meanings of a name for a substance that is not on file."""
_NEAR = setting(0.8, "letters in common, as a share, from which a name may be a slip of the pen")
_MOST_NEAR = whole_setting(3, "names shown beside a slip of the pen")
_LONGEST = whole_setting(6, "words of the longest name that is looked for inside a sentence")
_SHORT_WORD = whole_setting(3, "letters up to which an s at the end is no plural")
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})
_WORD = re.compile(r"[^\s_,;:/+&-]+")


class Meaning(StrEnum):
    """How far a name tells which substance is meant."""

    AGENT = "agent"  # one agent on file
    SEVERAL = "several"  # listed as a name of several, or of one and something else
    NEAR = "near"  # only near to names on file
    NO_AGENT = "no agent"  # listed as none of the agents on file
    UNKNOWN = "unknown"  # nothing like it is on file


@dataclass(frozen=True, slots=True)
class SubstanceName:
    """What a name of a substance means.

    Args:
        typed: the name as typed.
        meaning: how far it tells which is meant.
        agents: the agent meant; those it may mean; those it is near to.
        form: the form that the name tells ("as formaldehyde"); "" when it tells none.
        suggestions: names to type instead, as they are written.
    """

    typed: str
    meaning: Meaning
    agents: tuple[Agent, ...] = ()
    form: str = ""
    suggestions: tuple[str, ...] = ()

    @property
    def agent(self) -> Agent | None:
        """The one agent meant, or None."""
        return self.agents[0] if self.meaning is Meaning.AGENT else None


@lru_cache(maxsize=10_000)
def spellings(name: str) -> tuple[str, ...]:
    """Return the forms in which a name is compared, the fullest first.

    Letters and digits only, without accents; with ae for an umlaut and without; as typed and with
    each word in the singular.
    """
    folded = name.casefold()
    variants = (folded, folded.translate(_UMLAUTS))
    singular = tuple(" ".join(map(_singular, _WORD.findall(text))) for text in variants)
    return tuple(dict.fromkeys(filter(None, map(_bare, (*variants, *singular)))))


def _singular(word: str) -> str:
    plural = len(word) > _SHORT_WORD and word.endswith("s") and not word.endswith("ss")
    return word[:-1] if plural else word


def _bare(text: str) -> str:
    letters = unicodedata.normalize("NFKD", text)
    return "".join(sign for sign in letters if sign.isalnum()).replace("sulph", "sulf")


def names_of(agent: Agent) -> Iterator[tuple[str, str]]:
    """Yield (name, form) of everything an agent is called, its own names first."""
    yield agent.id, ""
    yield agent.name, ""
    yield agent.short_name, ""
    for other in agent.also:
        yield other.name, other.form


@lru_cache(maxsize=1_000)
def resolve(facts: Knowledge, typed: str) -> SubstanceName:
    """Return what a name means.

    Args:
        facts: agents with their names, and the names that are listed as ambiguous.
        typed: the name as typed.
    """
    index = _index(facts)
    for spelling in spellings(typed):
        if spelling in index:
            agent, form, _ = index[spelling]
            return SubstanceName(typed, Meaning.AGENT, (agent,), form)
    for spelling in spellings(typed):
        claim = facts.find(f"{AMBIGUOUS}.{spelling}")
        if claim is not None:
            ids = [part.strip() for part in str(claim.value).split(",")]
            agents = tuple(facts.agents[name] for name in ids if name in facts.agents)
            meaning = Meaning.SEVERAL if agents else Meaning.NO_AGENT
            return SubstanceName(typed, meaning, agents, "", tuple(a.short_name for a in agents))
    return _near(index, typed)


def named_in(facts: Knowledge, sentence: str) -> frozenset[str]:
    """Return the ids of the agents that a sentence names, by the longest name at each place."""
    index = _index(facts)
    words = _WORD.findall(sentence)
    named: set[str] = set()
    start = 0
    while start < len(words):
        longest = min(_LONGEST, len(words) - start)
        for length in range(longest, 0, -1):
            run = " ".join(words[start : start + length])
            agents = {index[s][0].id for s in spellings(run) if s in index}
            if agents:
                named |= agents
                start += length - 1
                break
        start += 1
    return frozenset(named)


_Index = Mapping[str, tuple[Agent, str, str]]


@lru_cache(maxsize=2)
def _index(facts: Knowledge) -> _Index:
    """Return agent, form and name as written by each spelling of each name."""
    index: dict[str, tuple[Agent, str, str]] = {}
    for agent in facts.agents.values():
        for name, form in names_of(agent):
            for spelling in spellings(name):
                index.setdefault(spelling, (agent, form, name))
    return index


def _near(index: _Index, typed: str) -> SubstanceName:
    """Return the agents whose names differ by little from what was typed, the nearest first."""
    wanted = next(iter(spellings(typed)), "")
    shares: dict[str, tuple[float, str, Agent]] = {}
    for spelling, (agent, _, name) in index.items():
        share = 0.0 if spelling.isdigit() else _alike(wanted, spelling)
        if share >= _NEAR and share > shares.get(agent.id, (0.0, "", agent))[0]:
            shares[agent.id] = (share, name, agent)
    nearest = sorted(shares.values(), key=lambda row: -row[0])[:_MOST_NEAR]
    meaning = Meaning.NEAR if nearest else Meaning.UNKNOWN
    agents = tuple(agent for _, _, agent in nearest)
    names = tuple(name.replace("_", " ") for _, name, _ in nearest)
    return SubstanceName(typed, meaning, agents, "", names)


def _alike(wanted: str, spelling: str) -> float:
    """Return the share of letters in common, in order; 0 where it must be below the limit."""
    matcher = SequenceMatcher(None, wanted, spelling, autojunk=False)
    if matcher.real_quick_ratio() < _NEAR or matcher.quick_ratio() < _NEAR:
        return 0.0
    return matcher.ratio()
