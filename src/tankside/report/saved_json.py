"""What was saved, as the documented JSON object of ``case new``, ``case add`` and the interface."""

from __future__ import annotations

from tankside.case import to_object
from tankside.case.kept_only import kept_in
from tankside.report.case_words import saved_json
from tankside.report.saved_reply import REMARK, notes_of
from tankside.services.saving import Added


def added_json(added: Added, country: str | None = None) -> dict[str, object]:
    """Return what was saved: where, the new entries, what is noted, what no answer uses.

    Args:
        added: the save.
        country: the country as typed when the case was opened; None otherwise.
    """
    result: dict[str, object] = {
        **saved_json(added.stored),
        "version": added.stored.version,
        "added": [to_object(entry) for entry in added.new],
    }
    notes = notes_of(added, country)
    if notes:
        result["notes"] = notes
    kept = [each for each in kept_in(added.new) if each.kind != REMARK]
    if kept:
        result["kept"] = [{"entry": each.entry, "fields": list(each.fields)} for each in kept]
    return result
