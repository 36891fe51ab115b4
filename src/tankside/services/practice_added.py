"""What a practice added to the released knowledge: listed, checked, and its labels by name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tankside.claims import Claim, Knowledge
from tankside.errors import BadInput
from tankside.library import load
from tankside.library.load import shipped
from tankside.library.overlay_lint import overlay_problems
from tankside.library.overlay_load import with_overlay
from tankside.library.overlay_place import VARIABLE, overlay_folder
from tankside.library.problem import Problem


@dataclass(frozen=True, slots=True)
class AddedClaim:
    """A claim of a practice.

    Args:
        claim: as it stands in its file.
        holds: whether it bears on answers; else it is only shown.
        released: what was released under the same key; None when nothing was.
    """

    claim: Claim
    holds: bool
    released: Claim | None


@dataclass(frozen=True, slots=True)
class PracticeAnswer:
    """What a practice added.

    Args:
        folder: where it stands.
        state: fingerprint of its files.
        added: its claims in order of key.
        labels: its containers by id, as words of an entry.
    """

    folder: str
    state: str
    added: tuple[AddedClaim, ...]
    labels: Mapping[str, Mapping[str, str]]


def practice(folder: str | None = None) -> PracticeAnswer:
    """Return what a practice added.

    Args:
        folder: where it stands; None for the one that every command uses.

    Raises:
        BadInput: E-PATH-02 there is none, E-KNOW-01 a file has a fault, E-KNOW-03.
    """
    place = _place(folder)
    knowledge = with_overlay(shipped(), place) if folder else load()
    claims = [claim for key in sorted(knowledge.overlay) for claim in knowledge.overlay[key]]
    added = tuple(_added(knowledge, claim) for claim in claims)
    return PracticeAnswer(str(place), knowledge.overlay_print, added, knowledge.labels)


def lint_practice(folder: str | None = None) -> tuple[Problem, ...]:
    """Return every fault of the folder of a practice, with file and line.

    Raises:
        BadInput: E-PATH-02 or E-KNOW-03 there is none.
    """
    return overlay_problems(shipped(), _place(folder))


def has_practice() -> bool:
    """Whether every command uses a folder of a practice.

    Raises:
        BadInput: E-KNOW-03 it is named and is not there.
    """
    return overlay_folder() is not None


def _place(folder: str | None) -> Path:
    place = Path(folder).absolute() if folder else overlay_folder()
    if place is None or not place.is_dir():
        raise BadInput(
            "E-PATH-02",
            "There is no folder of this practice's own knowledge.",
            given=str(place or "no folder"),
            needed="a folder with agents, hosts, care, labels or sources",
            next_step=f"Make it, and name it with --practice or the variable {VARIABLE}.",
            field="practice",
        )
    return place


def _added(knowledge: Knowledge, claim: Claim) -> AddedClaim:
    standing = knowledge.facts.get(claim.key, ())
    holds = bool(standing) and standing[0].overlay == claim.overlay
    released = next((each for each in standing if not each.overlay), None)
    return AddedClaim(claim, holds, released)
