"""What makes one answer reads a case once: all that is asked of it is asked of the same state."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

from tankside.records.stored_case import StoredCase

_READ: ContextVar[dict[str, StoredCase] | None] = ContextVar("cases read", default=None)


@contextmanager
def one_reading() -> Iterator[None]:
    """Let every case be read once while an answer is made that saves nothing."""
    before = _READ.set({})
    try:
        yield
    finally:
        _READ.reset(before)


def read_once(reference: str | Path, read: Callable[[], StoredCase]) -> StoredCase:
    """Return a case as it was read for this answer, or read it; outside of one it is read anew."""
    kept = _READ.get()
    if kept is None:
        return read()
    name = str(reference)
    if name not in kept:
        kept[name] = read()
    return kept[name]
