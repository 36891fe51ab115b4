"""The fields of entries that are only kept: told back as they were typed, used by no answer.

Whatever is not listed here bears on an answer. The list holds names, words and remarks.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from tankside.case.codec import to_object
from tankside.case.entry import Entry, Fact

RECORD = ("id", "kind", "recorded_at", "by", "role", "day_only", "compared")
"""Who wrote an entry, when, under what number, from which comparison: no observation."""
KEPT_ONLY: Mapping[str, tuple[str, ...]] = {
    "opened": ("call", "place", "practitioner"),
    "system": ("filter", "note"),
    "stock": ("note",),
    "finding": ("note",),
    "water_test": ("kit", "note"),
    "wet_mount": ("note",),
    "count": ("note",),
    "photo": ("file", "of", "sha256", "note"),
    "agent_in_water": ("note",),
    "label_read": ("photo", "note"),
    "dose_asked": ("note",),
    "course_chosen": ("program", "knowledge", "reason", "replaces", "stop_signs"),
    "action_done": ("reason",),
    "death": ("note",),
    "diagnosis_confirmed": ("shown_by", "note"),
    "decision": ("reason", "note"),
    "note": ("text",),
    "closed": ("reason",),
    "correction": ("reason",),
}
"""Names, words and remarks, by kind of entry."""
WORDS_ALONE = ("note", "photo")
"""Kinds of entry that are a remark or a picture: their time is when it was kept, no observation."""
ASKED = "not_known"
"""Words of an entry that were asked for and not known: a remark, where no question rests on it."""
ASKED_AGAIN = ("opened", "system", "stock")
"""Kinds of entry of which open questions are asked until somebody says that nobody knows."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What one entry holds that no answer uses.

    Args:
        entry: number of the entry.
        kind: its kind.
        fields: names of the fields.
    """

    entry: int
    kind: str
    fields: tuple[str, ...]

    @property
    def words(self) -> str:
        """The fields in words."""
        return ", ".join(field.replace("_", " ") for field in self.fields)


def idle_fields(kind: str) -> tuple[str, ...]:
    """Return the fields of a kind of entry that no answer uses."""
    return (*KEPT_ONLY.get(kind, ()), *(() if kind in ASKED_AGAIN else (ASKED,)))


def kept_in(entries: Iterable[Entry | Fact]) -> Iterator[Kept]:
    """Yield what entries hold that no answer uses; nothing of an entry that holds no such thing."""
    for entry in entries:
        stated = to_object(entry)
        fields = tuple(field for field in idle_fields(entry.kind) if field in stated)
        if fields:
            yield Kept(entry.id, entry.kind, fields)
