"""What was typed into a form and not saved yet, kept beside the cases until it is.

A draft is no entry: nothing is worked out from it, and it is dropped once its form is saved.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from tankside.intake import clock
from tankside.records.whole_file import write_whole

FOLDER = ".drafts"
MOST_KEPT = 200
Fields = Mapping[str, Sequence[str]]


@dataclass(frozen=True, slots=True)
class Draft:
    """What stood in a form when it was last kept.

    Args:
        at: when, as an ISO moment.
        fields: what was filled in, by the name of the field.
    """

    at: str
    fields: dict[str, list[str]]


def keep_draft(folder: Path, form: str, fields: Fields) -> Draft:
    """Keep what stands in a form, in place of what was kept of it before.

    Args:
        folder: where the cases are.
        form: the address that the form is sent to; it only names the draft.
        fields: what is filled in.

    Raises:
        CouldNotSave: the disk refused; what was kept before stands.
    """
    place = folder / FOLDER
    place.mkdir(mode=0o700, exist_ok=True)
    kept = {name: [text for text in texts if text] for name, texts in fields.items()}
    draft = Draft(clock.now().isoformat(), {name: texts for name, texts in kept.items() if texts})
    written = json.dumps({"form": form, "at": draft.at, "fields": draft.fields})
    write_whole(_path(folder, form), written.encode())
    _drop_oldest(place)
    return draft


def kept_draft(folder: Path, form: str) -> Draft | None:
    """Return what was kept of a form; None when nothing was, or it cannot be read any more."""
    try:
        kept = json.loads(_path(folder, form).read_bytes())
        fields = {str(name): list(map(str, texts)) for name, texts in kept["fields"].items()}
        return Draft(str(kept["at"]), fields)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def drop_draft(folder: Path, form: str) -> None:
    """Forget what was kept of a form."""
    with suppress(OSError):
        _path(folder, form).unlink(missing_ok=True)


def _path(folder: Path, form: str) -> Path:
    return folder / FOLDER / f"{hashlib.sha256(form.encode()).hexdigest()[:32]}.json"


def _drop_oldest(place: Path) -> None:
    kept = sorted(place.glob("*.json"), key=lambda path: path.stat().st_mtime, reverse=True)
    for path in kept[MOST_KEPT:]:
        with suppress(OSError):
            path.unlink()
