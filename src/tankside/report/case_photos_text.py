"""The pictures of a case in lines, and as JSON."""

from __future__ import annotations

from collections.abc import Sequence

from tankside.case import to_object
from tankside.report.case_text import line_text
from tankside.services.case_photos import CasePhoto

NONE_YET = "No photo yet. Keep one with: tankside case attach CASE FILE"
ONLY_NAMED = "only named, not kept with the case"


def photos_text(listed: Sequence[CasePhoto], written: Sequence[str]) -> str:
    """Return one line a picture, whether it is kept, and what was written."""
    lines = [line_text(photo.entry) + ("" if photo.kept else f"  {ONLY_NAMED}") for photo in listed]
    return "\n".join([*(lines or [NONE_YET]), *(f"Saved {name}" for name in written)])


def photos_json(listed: Sequence[CasePhoto], written: Sequence[str]) -> dict[str, object]:
    """Return the documented answer of ``case photos --json``."""
    photos = [to_object(photo.entry) | {"kept": photo.kept} for photo in listed]
    return {"photos": photos, "written": list(written)}
