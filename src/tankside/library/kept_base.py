"""What was read from the shipped files is kept as one text, since reading takes most of a command.

Kept is only what was read without a fault, under a fingerprint of every file it was read from, of
the code that read it, and of the interpreter. Whatever is wrong with it, the files are read.
Nothing is said when it cannot be kept: a command then takes what it took before.
"""

from __future__ import annotations

import gc
import hashlib
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import TypeVar

from tankside import sealed
from tankside.claims import whole_setting
from tankside.library.as_rows import from_text, to_text

MOST_KEPT = whole_setting(8, "texts kept side by side, two for each version, two megabytes each")
ROOMS = ("claims", "library")
Built = TypeVar("Built")


def kept(kind: type[Built], prints: Mapping[str, str], read: Callable[[], Built]) -> Built:
    """Return what is read from the shipped files, from what was kept where that may be used.

    Args:
        kind: the type of what is read.
        prints: fingerprints of the files it depends on.
        read: reads it from the files; what this raises is not kept.
    """
    key = key_of(kind, prints)
    path = os.path.join(sealed.place("knowledge"), f"{key.hex()}.json")
    data = sealed.fetch(path, key)
    if data is not None:
        try:
            with _no_collection():
                return from_text(data, kind)
        except (ValueError, TypeError, LookupError):
            pass  # what was kept may be anything at all; reading the files is always right
    whole = read()
    sealed.keep(path, key, to_text(whole).encode(), MOST_KEPT)
    return whole


@contextmanager
def _no_collection() -> Iterator[None]:
    """Make many objects that all stay without looking for dead ones among them; then set aside."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        if was_on:
            gc.enable()


def key_of(kind: type, prints: Mapping[str, str]) -> bytes:
    """Return what a kept text depends on, as a fingerprint."""
    parts = (kind.__name__, sys.version, sys.platform, sorted(prints.items()), [*_code()])
    return hashlib.sha256(repr(parts).encode()).digest()


def _code() -> Iterable[tuple[str, str]]:
    """Yield the modules of the rooms that read the files, each with its fingerprint."""
    program = os.path.dirname(os.path.dirname(__file__))
    for room in ROOMS:
        for name in sorted(os.listdir(os.path.join(program, room))):
            if name.endswith(".py"):
                with open(os.path.join(program, room, name), "rb") as module:
                    yield f"{room}/{name}", hashlib.sha256(module.read()).hexdigest()
