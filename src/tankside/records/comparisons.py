"""Comparisons of courses as they were shown, each under its id, so that one can be chosen later.

They stand in the user's data folder, sealed and private, the latest ones only: what was chosen
keeps in the case what it was chosen from, and a comparison that is gone is made again.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from tankside import sealed
from tankside.records.journal.place import data_folder

FOLDER = "comparisons"
MOST_KEPT = 300
ID_LETTERS = 10
GENERATION = b"tankside-comparison-1"


@dataclass(frozen=True, slots=True)
class OfferedCourse:
    """A course of a comparison: what was shown of it, and the entry that chooses it.

    Args:
        short: its short name, unique in the comparison.
        name: its name.
        shown: what was shown of it, as plain JSON data.
        entry: fields of the entry that chooses it, but for the reason; empty when it is refused.
        refused: the refusal as it is told, when it cannot be chosen; empty otherwise.
    """

    short: str
    name: str
    shown: Mapping[str, Any]
    entry: Mapping[str, Any]
    refused: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class KeptComparison:
    """A comparison of courses for one state of a case.

    Args:
        digest: of the case that it was made for.
        version: of that case.
        seed: of chance.
        program: name and version of the program.
        courses: what was offered, in the order shown.
    """

    digest: str
    version: int
    seed: int
    program: str
    courses: tuple[OfferedCourse, ...]

    @property
    def id(self) -> str:
        """Its name: a fingerprint of all it says, so that the same comparison has the same."""
        return hashlib.sha256(self.encode()).hexdigest()[:ID_LETTERS]

    def course_id(self, offered: OfferedCourse) -> str:
        """Return the whole name of a course: id of the comparison, short name of the course."""
        return f"{self.id}.{offered.short}"

    def encode(self) -> bytes:
        """Return it as canonical bytes."""
        text = json.dumps(asdict(self), ensure_ascii=False, sort_keys=True, allow_nan=False)
        return text.encode("utf-8")


ONLY_ROUGH = "it is a first rough one"
"""Why a comparison is not kept that another replaces."""


def keep_comparison(kept: KeptComparison) -> str:
    """Keep a comparison; return why it could not be kept, "" when it was."""
    return sealed.keep(_path(kept.id), _key(kept.id), kept.encode(), MOST_KEPT)


def comparison_of(comparison_id: str) -> KeptComparison | None:
    """Return the comparison with an id; None when it is not there, or not as it was kept."""
    if not comparison_id.isalnum() or not comparison_id.isascii():
        return None
    data = sealed.fetch(_path(comparison_id), _key(comparison_id))
    return None if data is None else _decode(data)


def comparisons_for(digest: str) -> Iterator[KeptComparison]:
    """Yield the comparisons that were made for one state of a case, the latest first."""
    folder = Path(sealed.place(FOLDER, str(data_folder())))
    files = folder.glob("*.json") if folder.is_dir() else ()
    for path in sorted(files, key=lambda path: path.stat().st_mtime, reverse=True):
        kept = comparison_of(path.stem)
        if kept is not None and kept.digest == digest:
            yield kept


def _path(comparison_id: str) -> str:
    return os.path.join(sealed.place(FOLDER, str(data_folder())), f"{comparison_id}.json")


def _key(comparison_id: str) -> bytes:
    return GENERATION + comparison_id.encode("ascii")


def _decode(data: bytes) -> KeptComparison:
    values = json.loads(data)
    courses = tuple(OfferedCourse(**course) for course in values.pop("courses"))
    return KeptComparison(courses=courses, **values)
