"""Pictures for the tests of the stores: the smallest that are real, and larger ones like them."""

from __future__ import annotations

import base64
import random

from tests.records.case_entries import entry

from tankside.case import Entry
from tankside.records.kept_photo import KeptPhoto, kept_photo

PNG = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAQAAAC1HAwCAAAAC0lEQVR42mNk+A8AAQUBAScY42YAAAAASUVORK5CYII="
)
"""One grey dot."""


def picture(seed: int = 1, size_bytes: int = 5000) -> KeptPhoto:
    """Return a picture with bytes of its own behind its end, where readers do not look."""
    return kept_photo(PNG + random.Random(seed).randbytes(size_bytes - len(PNG)), f"{seed}.png")


def photo_entry(number: int, photo: KeptPhoto, file: str = "loach.png") -> Entry:
    """Return the entry that comes with a picture."""
    return entry(number, "photo", file=file, sha256=photo.sha256)
