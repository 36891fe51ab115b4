"""A case as it was read from one of the two stores, and which store its reference names."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from tankside.case import CaseView, Entry, fold
from tankside.records.case_path import SUFFIX


@dataclass(frozen=True, slots=True)
class StoredCase:
    """A case as it was read: its entries and the fingerprint of its canonical bytes.

    Args:
        reference: the path of its file, or its number in the journal.
        entries: what stands in it.
        digest: SHA-256 of the case as the bytes of a case file.
        clock_suspect: the clock of this machine jumped before the last save.
    """

    reference: str | Path
    entries: tuple[Entry, ...]
    digest: str
    clock_suspect: bool = False

    @property
    def version(self) -> int:
        """The number of the last entry."""
        return len(self.entries)

    @property
    def in_journal(self) -> bool:
        """Whether it stands in the journal, not in a file."""
        return not names_file(self.reference)

    @property
    def label(self) -> str:
        """What it is called in a few letters: the name of its file, or its place in the journal."""
        if self.in_journal:
            return f"case {self.reference}"
        return Path(self.reference).name

    def view(self) -> CaseView:
        """Fold the entries into the present state."""
        return fold(self.entries)


def names_file(reference: str | Path) -> bool:
    """Whether a reference is the path of a file; any other names a case of the journal.

    A path holds a separator or ends in ``.jsonl``.
    """
    text = str(reference)
    return isinstance(reference, Path) or text.endswith(SUFFIX) or "/" in text or "\\" in text


def digest_of(data: bytes) -> str:
    """Return the fingerprint of the canonical bytes of a case."""
    return hashlib.sha256(data).hexdigest()
