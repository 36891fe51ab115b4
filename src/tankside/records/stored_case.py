"""A case as it was read from one of the two stores, and which store its reference names."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tankside.case import CaseView, Entry, encode, fold
from tankside.errors import BadInput
from tankside.quantity.strict_json import LARGEST_BYTES, parse_json
from tankside.records.case_path import SUFFIX


@dataclass(frozen=True, slots=True)
class StoredCase:
    """A case as it was read: its entries and the fingerprint of its canonical bytes.

    Args:
        reference: the path of its file, or its number in the journal.
        entries: what stands in it.
        digest: SHA-256 of the case as the bytes of a case file.
        clock_suspect: the clock of this machine jumped before the last save.
        canonical: its canonical bytes, where they are at hand; else b"".
        folded: its present state, where it is at hand.
    """

    reference: str | Path
    entries: tuple[Entry, ...]
    digest: str
    clock_suspect: bool = False
    canonical: bytes = field(default=b"", repr=False, compare=False)
    folded: CaseView | None = field(default=None, repr=False, compare=False)

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
        return fold(self.entries) if self.folded is None else self.folded


def names_file(reference: str | Path) -> bool:
    """Whether a reference is the path of a file; any other names a case of the journal.

    A path holds a separator or ends in ``.jsonl``.
    """
    text = str(reference)
    return isinstance(reference, Path) or text.endswith(SUFFIX) or "/" in text or "\\" in text


def keepable(stored: StoredCase | None, new: Sequence[Entry]) -> bytes:
    """Return the canonical bytes of a case with new entries, when they can be read again.

    Args:
        stored: the case as it stands; None when it begins.
        new: the entries to be added.

    Raises:
        BadInput: E-FILE-01 the case would be larger than what is read; E-JSON-02 a new entry is
            nested deeper.
    """
    head, _, lines = encode(new).partition(b"\n")
    before = head + b"\n" if stored is None else stored.canonical or encode(stored.entries)
    data = before + lines
    if len(data) > LARGEST_BYTES:
        raise BadInput(
            "E-FILE-01",
            "The case would grow too large to be opened again.",
            given=f"{len(data)} bytes",
            needed=f"at most {LARGEST_BYTES} bytes",
            next_step="Close this case and open another for what follows; nothing was saved.",
            field="case",
        )
    for line in lines.split(b"\n")[:-1]:
        parse_json(line)
    return data


def digest_of(data: bytes) -> str:
    """Return the fingerprint of the canonical bytes of a case."""
    return hashlib.sha256(data).hexdigest()
