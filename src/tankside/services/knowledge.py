"""Look at the knowledge base: one key, its rivals, the sources, the house checks."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tankside.claims import Claim, Host, Knowledge, Source
from tankside.claims.knowledge import Rivals
from tankside.errors import BadInput
from tankside.intake.species import near_names
from tankside.library import load
from tankside.library.lint import lint
from tankside.library.problem import Problem
from tankside.library.reference import write_reference
from tankside.library.subject_files import read_subjects
from tankside.library.views import cited_by, summary, value_in_words


@dataclass(frozen=True, slots=True)
class ClaimsAnswer:
    """The claims under a key, or under the start of one, with what is known of their works."""

    key: str
    claims: tuple[Claim, ...]
    knowledge: Knowledge


@dataclass(frozen=True, slots=True)
class SourceAnswer:
    """One work and the keys of the claims that cite it, in order."""

    work: Source
    cited_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RivalsAnswer:
    """The claims that stand side by side under one key, with what is known of their works."""

    rivals: Rivals
    knowledge: Knowledge


@dataclass(frozen=True, slots=True)
class SourcesAnswer:
    """Every work in order of its key, and how many claims cite each."""

    works: tuple[Source, ...]
    claims: Mapping[str, int]


def lint_base(folder: str | None = None) -> tuple[Problem, ...]:
    """Run all house checks over a data folder (None: the shipped one); return the faults.

    Raises:
        BadInput: E-PATH-02 when nothing is there to be checked.
    """
    if folder and next(read_subjects(Path(folder), []), None) is None:
        raise BadInput(
            "E-PATH-02",
            "There are no knowledge files here: nothing was checked.",
            given=folder,
            needed="a folder made like the knowledge that is shipped",
            next_step="Check the name of the folder.",
            field="folder",
        )
    return tuple(lint(Path(folder) if folder else None))


def look_up(key: str) -> ClaimsAnswer | SourceAnswer:
    """Return everything under a key, or under the start of one (a subject), or a work.

    Raises:
        BadInput: E-KNOW-02 when nothing is recorded there.
    """
    knowledge = load()
    if key in knowledge.sources:
        citing = (
            c.key
            for cell in knowledge.facts.values()
            for c in cell
            if key in (c.source, *c.further)
        )
        return SourceAnswer(knowledge.sources[key], tuple(sorted(citing)))
    claims = _under(key, knowledge)
    if not claims:
        raise _unknown(key, knowledge)
    return ClaimsAnswer(key, tuple(claims), knowledge)


def rivals(key: str) -> RivalsAnswer:
    """Return the claims that stand side by side under one key.

    Raises:
        BadInput: E-KNOW-02 when nothing is recorded under the key.
    """
    knowledge = load()
    try:
        return RivalsAnswer(knowledge.rivals(key), knowledge)
    except KeyError:
        raise _unknown(key, knowledge) from None


def sources() -> SourcesAnswer:
    """Return the register of works with how many claims cite each."""
    knowledge = load()
    works = tuple(work for _, work in sorted(knowledge.sources.items()))
    return SourcesAnswer(works, cited_by(knowledge))


def counts() -> Mapping[str, Mapping[str, int] | int]:
    """Return the counts of claims and works, by provenance, confidence and kind."""
    return summary(load())


def write_pages(folder: str) -> tuple[str, ...]:
    """Write the reference pages into a folder; return their names."""
    return tuple(write_reference(load(), Path(folder)))


def _under(key: str, knowledge: Knowledge) -> list[Claim]:
    exact = [*_with_added(key, knowledge), *knowledge.rejected.get(key, ())]
    if exact:
        return exact
    start = f"{key.rstrip('.')}."
    keys = sorted({*knowledge.facts, *knowledge.overlay})
    return [claim for k in keys if k.startswith(start) for claim in _with_added(k, knowledge)]


def _with_added(key: str, knowledge: Knowledge) -> list[Claim]:
    """Return the claims under a key, then what this practice added that does not hold."""
    held = knowledge.facts.get(key, ())
    holding = {claim.overlay for claim in held}
    return [*held, *(c for c in knowledge.overlay.get(key, ()) if c.overlay not in holding)]


def _unknown(key: str, knowledge: Knowledge) -> BadInput:
    subjects = {".".join(k.split(".")[:2]) for k in knowledge.facts}
    candidates = [*knowledge.facts, *subjects]
    near = difflib.get_close_matches(key, candidates, n=3, cutoff=0.5)
    example = (
        value_in_words(knowledge.claim(near[0])) if near and near[0] in knowledge.facts else ""
    )
    return BadInput(
        "E-KNOW-02",
        "Nothing is recorded under this key.",
        given=key,
        needed="a key, the start of one (agent.formalin), or the key of a source",
        next_step=f"Did you mean {', '.join(near)}? {example}".rstrip()
        if near
        else "Type less of the key: `tankside knowledge show agent` lists all that begin so.",
        field="key",
    )


def kinds(word: str = "") -> tuple[Host, ...]:
    """Return the kinds of animals and plants of which a name or the group holds a word.

    Args:
        word: as typed; "" for all.

    Raises:
        BadInput: E-HOST-01 nothing holds the word.
    """
    wanted = word.strip().lower()
    hosts = load().hosts.values()
    listed = tuple(
        host
        for host in hosts
        if wanted in " ".join((host.name, host.latin, host.id, host.group, *host.also)).lower()
    )
    if not listed:
        near = ", ".join(near_names(hosts, word))
        raise BadInput(
            "E-HOST-01",
            "No kind of animal or plant on file has such a name.",
            given=word,
            needed=f"perhaps {near}" if near else "part of a name",
            next_step="Leave the word out to see them all.",
            field="word",
        )
    return tuple(sorted(listed, key=lambda host: (host.group, host.name)))
