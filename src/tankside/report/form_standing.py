"""What happened while a form stood open: a draft was kept, or somebody else saved the same kind."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from tankside.case.typed_entry import named_kind
from tankside.quantity.address_number import address_number
from tankside.quantity.dates import entry_moment_words
from tankside.report.case_text import entry_text
from tankside.report.page import OpenCase


def clock_words(at: str, zone: str) -> str:
    """Return the time of day of a moment as the clock at the tank shows it.

    Args:
        at: an ISO moment.
        zone: IANA zone of the tank.
    """
    return datetime.fromisoformat(at).astimezone(ZoneInfo(zone)).strftime("%H:%M")


def saved_since(case: OpenCase, word: str, version: str) -> tuple[str, ...]:
    """Return the entries of a kind that were saved after a form for it was shown.

    Args:
        case: the case as it stands.
        word: the word that names the kind.
        version: the version of the case that the form was shown for; "" when it does not say.

    Raises:
        BadInput: E-WORD-01 there is no such kind.
    """
    kind = named_kind(word)[0].name
    seen = address_number(version)
    if seen is None:
        return ()
    later = case.stored.entries[seen:]
    return tuple(
        f"{entry_moment_words(entry.moment)}: {entry_text(entry)} (by {entry.by})"
        for entry in later
        if entry.kind == kind
    )
