"""The chain: each entry's SHA-256 covers all it says and the hash before it; pure.

The first hash is made from the identity of the journal. What identifies a person is covered by a
commitment (SHA-256 of a salt and the name): when name and salt are taken away, the chain holds,
and nobody can find the name again by trying names.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from typing import NamedTuple

GENERATION = "tankside-journal-1"
_JSON = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), allow_nan=False)


class ChainedEntry(NamedTuple):
    """One row of the log, in the order of its columns; see ``schema.ENTRY``."""

    sequence: int
    case_number: int
    case_version: int
    label: str | None
    written_at: str
    clock: str | None
    recorded_at: str
    occurred_at: str
    author: int
    author_role: str | None
    submission: str | None
    body: str
    previous: str
    hash: str
    photo: str | None = None


_HASHED = ChainedEntry._fields.index("hash")


def first_hash(identity: str, begun_at: str) -> str:
    """Return the hash that the first entry of a journal follows."""
    return _digest([GENERATION, identity, begun_at])


def commitment(salt: str, name: str) -> str:
    """Return what stands for a person in the chain."""
    return _digest([GENERATION, "person", salt, name])


def entry_hash(row: ChainedEntry, commitments: Iterable[tuple[int, str]]) -> str:
    """Return the hash of an entry.

    Args:
        row: the entry; its own ``hash`` does not count. A picture counts where there is one, so
            that entries of before there were any keep their hashes.
        commitments: number and commitment of each person the entry names.
    """
    kept = [] if row.photo is None else [["photo", row.photo]]
    return _digest([GENERATION, *row[:_HASHED], sorted(commitments), *kept])


def content_hash(values: Mapping[str, object]) -> str:
    """Return the hash of a row made from entries, so that a flipped bit in it is seen."""
    return _digest(sorted(values.items()))


def _digest(parts: object) -> str:
    text = _JSON.encode(parts)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
