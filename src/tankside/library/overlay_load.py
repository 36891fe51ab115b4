"""The folder of a practice read into the knowledge, anew whenever a file of it changed."""

from __future__ import annotations

import hashlib
import os
from functools import lru_cache
from pathlib import Path

from tankside.claims import Knowledge
from tankside.library.overlay import merged, read_overlay
from tankside.library.overlay_lint import overlay_problems
from tankside.library.problem import refuse

SHORTENED = 16
FolderState = tuple[tuple[str, int, int], ...]
"""Name, moment of the last change [ns] and size [bytes] of each file."""


def with_overlay(released: Knowledge, folder: Path) -> Knowledge:
    """Return the released knowledge with what a practice added beside it.

    Args:
        released: as shipped.
        folder: of the practice.

    Raises:
        BadInput: E-KNOW-01 a file has a fault; it names file and line.
    """
    return _merged(released, folder, _state(folder))


def _state(folder: Path) -> FolderState:
    """Return what tells whether a file of a folder changed."""
    names = (os.path.join(top, name) for top, _, files in os.walk(folder) for name in files)
    stats = ((name, os.stat(name)) for name in sorted(names))
    return tuple((name, stat.st_mtime_ns, stat.st_size) for name, stat in stats)


@lru_cache(maxsize=4)
def _merged(
    released: Knowledge, folder: Path, state: tuple[tuple[str, int, int], ...]
) -> Knowledge:
    refuse(list(overlay_problems(released, folder)))
    return merged(released, read_overlay(folder, []), _print_of(state, folder))


def _print_of(state: FolderState, folder: Path) -> str:
    digest = hashlib.sha256()
    for name, _, _ in state:
        digest.update(os.path.relpath(name, folder).encode() + b"\0")
        digest.update(hashlib.sha256(Path(name).read_bytes()).digest())
    return digest.hexdigest()[:SHORTENED]
